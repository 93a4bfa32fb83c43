"""A part is asked for, offered, accepted once, and looked at when it arrives.

A request goes to chosen regions and only their members see it. Each workshop has one answer to it at a time, which it
may take back while nothing is accepted. Whoever asked accepts one answer, once: of two acceptances at the same moment
one wins and the other is told who was first. What arrived is compared with what was ordered, number and revision marks
apart, because makers revise a part under its old number. A workshop that is suspended drops out: its requests are not
seen, its offers can't be accepted. No money passes through the portal. Everybody whose matter moves is told, in the
same transaction.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from network.models import Event, Membership, Region, User, Workshop
from network.telling import tell
from parts.models import Answer, PartRequest, PartRevision
from parts.numbers import normalise

Request, Offer = PartRequest.State, Answer.State


class CannotAnswer(Exception):
    """The request is one's own, is settled, or has this workshop's answer already."""


class NotOnOffer(Exception):
    """The answer was taken back, or its workshop is no longer approved; the request is as open as before."""


class AlreadySettled(Exception):
    """The request has moved on; `request` is the row as it stands, `accepted` the answer that was first, if any."""

    def __init__(self, request: PartRequest) -> None:
        self.request = request
        found = request.answers.filter(state=Offer.ACCEPTED).select_related("workshop", "accepted_by")
        self.accepted = found.first()
        who = f", by {self.accepted.accepted_by}" if self.accepted else ""
        super().__init__(f"Request {request.pk} is {request.state}{who}.")


@transaction.atomic
def ask(*, request: PartRequest, regions: list[Region], by: Membership) -> PartRequest:
    """Put a request on the board and tell the managers of the other workshops in the chosen regions."""
    request.asked_by_workshop, request.asked_by = by.workshop, by.person
    request.normalised = normalise(number=request.number)
    request.save()
    request.regions.set(regions)
    able = Membership.objects.able_to_act()
    managing = able.filter(workshop__region__in=regions, role=Membership.Role.MANAGER)
    ours = able.filter(workshop=by.workshop)
    managers = User.objects.filter(memberships__in=managing).exclude(memberships__in=ours).distinct()
    _tell("part_asked", request, by=by, people=managers)
    return request


@transaction.atomic
def answer(*, answer: Answer, request: PartRequest, by: Membership) -> Answer:
    """Answer a request of another workshop; raises CannotAnswer where there is nothing to answer."""
    fresh = PartRequest.objects.select_for_update().get(pk=request.pk)
    if fresh.state != Request.OPEN or fresh.asked_by_workshop_id == by.workshop_id:
        raise CannotAnswer
    answer.request, answer.workshop, answer.answered_by = fresh, by.workshop, by.person
    try:
        with transaction.atomic():
            answer.save()
    except IntegrityError:
        raise CannotAnswer from None
    _tell("part_answered", fresh, by=by, people=_reach(fresh.asked_by, fresh.asked_by_workshop), answer=answer)
    return answer


@transaction.atomic
def take_back(*, answer: Answer, by: Membership) -> bool:
    """Take one's own offer back while it is not accepted; another may follow. False: it was decided first."""
    changed = Answer.objects.filter(pk=answer.pk, workshop=by.workshop, state=Offer.OFFERED).update(
        state=Offer.WITHDRAWN
    )
    if changed:
        asked = PartRequest.objects.select_related("asked_by", "asked_by_workshop").get(pk=answer.request_id)
        _tell("answer_taken_back", asked, by=by, people=_reach(asked.asked_by, asked.asked_by_workshop))
    return bool(changed)


@transaction.atomic
def accept(*, answer: Answer, by: Membership) -> None:
    """Accept one answer to one's own request, once.

    Raises AlreadySettled for whoever is second, and NotOnOffer (nothing is changed then) where the offer is gone.
    """
    own = PartRequest.objects.filter(pk=answer.request_id, asked_by_workshop=by.workshop)
    won = own.filter(state=Request.OPEN).update(state=Request.ACCEPTED)
    request = own.get()
    if not won:
        raise AlreadySettled(request)
    # A subquery for the workshop, never a join: a joined update becomes "pk in (select ...)", whose condition
    # PostgreSQL does not look at again after waiting for somebody who has just changed the row.
    standing = Answer.objects.filter(pk=answer.pk, state=Offer.OFFERED, workshop__in=Workshop.objects.public())
    if not standing.update(state=Offer.ACCEPTED, accepted_at=timezone.now(), accepted_by=by.person):
        raise NotOnOffer
    others = _close_offers(request)
    answer.refresh_from_db()
    _tell("answer_accepted", request, by=by, people=_reach(answer.answered_by, answer.workshop), answer=answer)
    _tell("answer_not_chosen", request, by=by, people=_reach_each(others))


@transaction.atomic
def receive(
    *,
    request: PartRequest,
    by: Membership,
    number_as_ordered: bool,
    marks_as_ordered: bool,
    remark: str,
    revision: PartRevision | None = None,
) -> None:
    """Write down what was seen on receipt, and which revision it is where that can be told.

    Raises AlreadySettled when it was received before, or nothing is due.
    """
    own = PartRequest.objects.filter(pk=request.pk, asked_by_workshop=by.workshop)
    changed = own.filter(state=Request.ACCEPTED).update(
        state=Request.RECEIVED,
        received_at=timezone.now(),
        received_by=by.person,
        number_as_ordered=number_as_ordered,
        marks_as_ordered=marks_as_ordered,
        receipt_remark=remark,
        revision_seen=revision,
    )
    request.refresh_from_db()
    if not changed:
        raise AlreadySettled(request)
    accepted = request.answers.select_related("answered_by", "workshop").get(state=Offer.ACCEPTED)
    _tell("part_received", request, by=by, people=_reach(accepted.answered_by, accepted.workshop))


@transaction.atomic
def withdraw(*, request: PartRequest, by: Membership) -> bool:
    """Take an open request of one's own off the board, and tell those who answered. False: it was settled first."""
    own = PartRequest.objects.filter(pk=request.pk, asked_by_workshop=by.workshop)
    changed = own.filter(state=Request.OPEN).update(state=Request.WITHDRAWN)
    if changed:
        _tell("part_withdrawn", request, by=by, people=_reach_each(_close_offers(request)))
    return bool(changed)


def _close_offers(request: PartRequest) -> list[Answer]:
    """No offer that still stands is chosen. Returns them, locked: each is taken back or told of this, never both."""
    offers = request.answers.filter(state=Offer.OFFERED)
    standing = list(offers.select_for_update(of=("self",)).select_related("answered_by", "workshop"))
    offers.update(state=Offer.NOT_CHOSEN)
    return standing


def _reach(person: User, workshop: Workshop) -> list[User]:
    """The person who acted for the workshop; its managers where that person no longer acts for it."""
    able = Membership.objects.able_to_act().filter(workshop=workshop).select_related("person").order_by("pk")
    still = [one.person for one in able if one.person_id == person.pk]
    return still or [one.person for one in able if one.is_manager]


def _reach_each(answers: Iterable[Answer]) -> list[User]:
    return [person for one in answers for person in _reach(one.answered_by, one.workshop)]


def _tell(verb: str, request: PartRequest, *, by: Membership, people: Iterable[User], **facts: Any) -> None:
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
