"""A part is asked for, offered, accepted once, and looked at when it arrives.

A request goes to chosen regions and only their members see it. Each workshop answers once. Whoever asked accepts one
answer, once: of two acceptances at the same moment one wins and the other is told who was first. What arrived is
compared with what was ordered, number and revision marks apart, because makers revise a part under its old number.
No money passes through the portal. Everybody whose matter moves is told, in the same transaction.
"""

from __future__ import annotations

from typing import Any

from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from network.models import Event, Membership, Region, User, Workshop
from network.telling import tell
from parts.models import Answer, PartRequest
from parts.numbers import normalise


class CannotAnswer(Exception):
    """The request is one's own, is settled, or has this workshop's answer already."""


class AlreadySettled(Exception):
    """The request has moved on; `request` is the row as it stands, `accepted` the answer that was first, if any."""

    def __init__(self, request: PartRequest) -> None:
        self.request = request
        self.accepted = request.answers.filter(state=Answer.State.ACCEPTED).select_related("workshop").first()
        super().__init__(f"Request {request.pk} is {request.state}.")


@transaction.atomic
def ask(*, request: PartRequest, regions: list[Region], by: Membership) -> PartRequest:
    """Put a request on the board and tell the managers of the workshops in the chosen regions."""
    request.asked_by_workshop, request.asked_by = by.workshop, by.person
    request.normalised = normalise(number=request.number)
    request.save()
    request.regions.set(regions)
    managers = (
        User.objects.filter(
            memberships__in=Membership.objects.able_to_act().filter(
                workshop__region__in=regions, role=Membership.Role.MANAGER
            )
        )
        .exclude(memberships__workshop=by.workshop)
        .distinct()
    )
    _tell("part_asked", request, by=by, people=managers)
    return request


@transaction.atomic
def answer(*, answer: Answer, request: PartRequest, by: Membership) -> Answer:
    """Answer a request of another workshop; raises CannotAnswer where there is nothing to answer."""
    fresh = PartRequest.objects.select_for_update().get(pk=request.pk)
    if fresh.state != PartRequest.State.OPEN or fresh.asked_by_workshop_id == by.workshop_id:
        raise CannotAnswer
    answer.request, answer.workshop, answer.answered_by = fresh, by.workshop, by.person
    try:
        with transaction.atomic():
            answer.save()
    except IntegrityError:
        raise CannotAnswer from None
    _tell("part_answered", fresh, by=by, people=[fresh.asked_by], answer=answer)
    return answer


@transaction.atomic
def accept(*, answer: Answer, by: Membership) -> None:
    """Accept one answer to one's own request, once; raises AlreadySettled for whoever is second."""
    won = PartRequest.objects.filter(
        pk=answer.request_id, asked_by_workshop=by.workshop, state=PartRequest.State.OPEN
    ).update(state=PartRequest.State.ACCEPTED)
    request = PartRequest.objects.get(pk=answer.request_id)
    if not won:
        raise AlreadySettled(request)
    others = request.answers.exclude(pk=answer.pk).select_related("answered_by")
    Answer.objects.filter(pk=answer.pk).update(state=Answer.State.ACCEPTED)
    _tell("answer_accepted", request, by=by, people=[answer.answered_by], answer=answer)
    _tell("answer_not_chosen", request, by=by, people=[one.answered_by for one in others])
    others.update(state=Answer.State.NOT_CHOSEN)


@transaction.atomic
def receive(
    *, request: PartRequest, by: Membership, number_as_ordered: bool, marks_as_ordered: bool, remark: str
) -> None:
    """Write down what was seen on receipt; raises AlreadySettled when it was received before, or nothing is due."""
    changed = PartRequest.objects.filter(
        pk=request.pk, asked_by_workshop=by.workshop, state=PartRequest.State.ACCEPTED
    ).update(
        state=PartRequest.State.RECEIVED,
        received_at=timezone.now(),
        received_by=by.person,
        number_as_ordered=number_as_ordered,
        marks_as_ordered=marks_as_ordered,
        receipt_remark=remark,
    )
    request.refresh_from_db()
    if not changed:
        raise AlreadySettled(request)
    accepted = request.answers.select_related("answered_by").get(state=Answer.State.ACCEPTED)
    _tell("part_received", request, by=by, people=[accepted.answered_by])


@transaction.atomic
def withdraw(*, request: PartRequest, by: Membership) -> bool:
    """Take an open request of one's own off the board, and tell those who answered."""
    changed = PartRequest.objects.filter(
        pk=request.pk, asked_by_workshop=by.workshop, state=PartRequest.State.OPEN
    ).update(state=PartRequest.State.WITHDRAWN)
    if changed:
        people = [one.answered_by for one in request.answers.select_related("answered_by")]
        _tell("part_withdrawn", request, by=by, people=people)
    return bool(changed)


def _tell(verb: str, request: PartRequest, *, by: Membership, people: Any, **facts: Any) -> None:
    event = Event.record(verb, request, by=by.person, workshop=by.workshop)
    tell(
        event,
        people=people,
        template=f"mail/{verb}.txt",
        facts={"request": request, "who": by.workshop, **facts},
        path=reverse("request", args=[request.pk]),
    )


def workshops_asked(request: PartRequest) -> int:
    """How many approved workshops see the request, beside the one that asked."""
    return (
        Workshop.objects.public()
        .filter(region__in=request.regions.all())
        .exclude(pk=request.asked_by_workshop_id)
        .count()
    )
