"""Questions and replies under a request: whoever sees it may ask, and everybody who sees it reads the reply."""

from __future__ import annotations

from django.db import transaction

from network.models import Membership
from parts import sourcing
from parts.models import Answer, PartRequest, Question

MOST = 100  # under one request, replies counted


class Closed(Exception):
    """The request takes no more words: it is withdrawn or lapsed, or there are as many as one can follow."""


@transaction.atomic
def ask(*, request: PartRequest, text: str, by: Membership, replies_to: Question | None = None) -> Question:
    """Ask whoever looks for the part, or reply; raises Closed.

    A question is told to whoever asked for the part; a reply to whoever asked that question.
    """
    fresh = PartRequest.objects.select_for_update(of=("self",)).select_related("asked_by", "asked_by_workshop")
    asked = fresh.get(pk=request.pk)
    if asked.state in (PartRequest.State.WITHDRAWN, PartRequest.State.LAPSED) or asked.questions.count() >= MOST:
        raise Closed
    if replies_to is not None and (replies_to.request_id != asked.pk or replies_to.replies_to_id):
        raise Closed
    question = Question.objects.create(
        request=asked, replies_to=replies_to, workshop=by.workshop, asked_by=by.person, text=text
    )
    waiting = sourcing.reach(asked.asked_by, asked.asked_by_workshop)
    if replies_to is not None:
        waiting += sourcing.reach(replies_to.asked_by, replies_to.workshop)
    elif asked.asked_by_workshop_id == by.workshop_id:
        offers = asked.answers.filter(state__in=(Answer.State.OFFERED, Answer.State.ACCEPTED))
        waiting = sourcing.reach_each(offers.select_related("answered_by", "workshop"))
    others = [person for person in waiting if person.pk != by.person_id]
    verb = "question_replied" if replies_to else "question_asked"
    sourcing.tell_about(verb, asked, by=by, people=others, question=question)
    return question
