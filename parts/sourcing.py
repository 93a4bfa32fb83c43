"""A part is asked for, offered, accepted once, and looked at when it arrives.

A request goes to chosen regions and only their members see it. Each workshop has one answer to it at a time, which it
may take back while nothing is accepted. Whoever asked accepts one answer that names a price, once: of two acceptances
at the same moment one wins and the other is told who was first. What arrived is compared with what was ordered, number
and revision marks apart, because makers revise a part under its old number. A workshop that is suspended drops out: its
requests are not seen, its offers can't be accepted. No money passes through the portal. Everybody whose matter moves is
told, in the same transaction. Beside this: `sending.py` (what travels), `asking_back.py` (questions), `lapsing.py`.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import Q
from django.urls import reverse
from django.utils import timezone

from network.models import Event, Membership, Region, SharedPicture, User, Workshop
from network.pictures import Cleaned, share_new
from network.telling import tell
from parts import shelf, watching
from parts.models import Answer, PartNumber, PartRequest, PartRevision
from parts.numbers import normalise

Request, Offer = PartRequest.State, Answer.State


class CannotAnswer(Exception):
    """The request is one's own, is settled, or has this workshop's answer already."""


class NotOnOffer(Exception):
    """The answer was taken back, names no price, or its workshop is no longer approved; the request stays open."""


class AlreadySettled(Exception):
    """The request has moved on; `request` is the row as it stands, `accepted` the answer that was first, if any."""

    def __init__(self, request: PartRequest) -> None:
        self.request = request
        found = request.answers.filter(state=Offer.ACCEPTED).select_related("workshop", "accepted_by")
        self.accepted = found.first()
        who = f", by {self.accepted.accepted_by}" if self.accepted else ""
        super().__init__(f"Request {request.pk} is {request.state}{who}.")


@transaction.atomic
def ask(
    *, request: PartRequest, regions: list[Region], by: Membership, pictures: Sequence[Cleaned] = ()
) -> PartRequest:
    """Put a request on the board; tell the managers of other workshops in the regions, and whoever watches for it."""
    request.asked_by_workshop, request.asked_by = by.workshop, by.person
    request.normalised = normalise(number=request.number)
    if request.normalised and not request.part_kind:  # what the network knows of the number anyhow
        known = PartNumber.objects.called(request.number).order_by("pk").values_list("kind", flat=True)
        request.part_kind = known.first() or ""
    request.save()
    request.regions.set(regions)
    request.pictures.set(shared(pictures, by=by))
    able = Membership.objects.able_to_act()
    here = able.filter(workshop__region__in=regions)
    wanted = here.filter(Q(role=Membership.Role.MANAGER) | Q(person__in=watching.watchers_of(request)))
    ours = able.filter(workshop=by.workshop)
    people = User.objects.filter(memberships__in=wanted).exclude(memberships__in=ours).distinct()
    holders = shelf.people_of(shelf.holders_of(request))
    tell_about("part_asked", request, by=by, people=people.exclude(pk__in=[one.pk for one in holders]))
    if holders:  # told that it lies on their shelf, instead of twice
        tell_about("shelf_matched", request, by=by, people=holders)
    return request


@transaction.atomic
def answer(
    *,
    answer: Answer,
    request: PartRequest,
    by: Membership,
    pictures: Sequence[Cleaned] = (),
    plate: Sequence[Cleaned] = (),
) -> Answer:
    """Answer a request of another workshop; raises CannotAnswer where there is nothing to answer."""
    fresh = PartRequest.objects.select_for_update().get(pk=request.pk)
    if fresh.state != Request.OPEN or fresh.asked_by_workshop_id == by.workshop_id:
        raise CannotAnswer
    answer.request, answer.workshop, answer.answered_by = fresh, by.workshop, by.person
    answer.plate = next(iter(shared(plate[:1], by=by)), None)
    try:
        with transaction.atomic():
            answer.save()
    except IntegrityError:
        raise CannotAnswer from None
    answer.pictures.set(shared(pictures, by=by))
    tell_about("part_answered", fresh, by=by, people=reach(fresh.asked_by, fresh.asked_by_workshop), answer=answer)
    return answer


@transaction.atomic
def take_back(*, answer: Answer, by: Membership) -> bool:
    """Take one's own offer back while it is not accepted; another may follow. False: it was decided first."""
    changed = Answer.objects.filter(pk=answer.pk, workshop=by.workshop, state=Offer.OFFERED).update(
        state=Offer.WITHDRAWN
    )
    if changed:
        asked = PartRequest.objects.select_related("asked_by", "asked_by_workshop").get(pk=answer.request_id)
        tell_about("answer_taken_back", asked, by=by, people=reach(asked.asked_by, asked.asked_by_workshop))
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
    standing = standing.filter(price__isnull=False)
    if not standing.update(state=Offer.ACCEPTED, accepted_at=timezone.now(), accepted_by=by.person):
        raise NotOnOffer
    others = close_offers(request)
    answer.refresh_from_db()
    tell_about("answer_accepted", request, by=by, people=reach(answer.answered_by, answer.workshop), answer=answer)
    tell_about("answer_not_chosen", request, by=by, people=reach_each(others))


@transaction.atomic
def receive(
    *,
    request: PartRequest,
    by: Membership,
    number_as_ordered: bool,
    marks_as_ordered: bool,
    remark: str,
    revision: PartRevision | None = None,
    damaged: bool = False,
    as_described: bool = True,
    arrived_on: datetime.date | None = None,
    pictures: Sequence[Cleaned] = (),
) -> None:
    """Write down what was seen on receipt; raises AlreadySettled when it was received before, or nothing is due.

    Facts only: the day it arrived (today, unless told), number and marks as ordered, which revision it is where that
    can be told, damaged, condition as described.
    """
    own = PartRequest.objects.filter(pk=request.pk, asked_by_workshop=by.workshop)
    changed = own.filter(state=Request.ACCEPTED).update(
        state=Request.RECEIVED,
        received_at=timezone.now(),
        received_by=by.person,
        number_as_ordered=number_as_ordered,
        marks_as_ordered=marks_as_ordered,
        damaged=damaged,
        as_described=as_described,
        arrived_on=arrived_on or timezone.localdate(),
        receipt_remark=remark,
        revision_seen=revision,
    )
    request.refresh_from_db()
    if not changed:
        raise AlreadySettled(request)
    request.receipt_pictures.set(shared(pictures, by=by))
    accepted = request.answers.select_related("answered_by", "workshop").get(state=Offer.ACCEPTED)
    tell_about("part_received", request, by=by, people=reach(accepted.answered_by, accepted.workshop))


@transaction.atomic
def withdraw(*, request: PartRequest, by: Membership) -> bool:
    """Take an open request of one's own off the board, and tell those who answered. False: it was settled first."""
    own = PartRequest.objects.filter(pk=request.pk, asked_by_workshop=by.workshop)
    changed = own.filter(state=Request.OPEN).update(state=Request.WITHDRAWN)
    if changed:
        tell_about("part_withdrawn", request, by=by, people=reach_each(close_offers(request)))
    return bool(changed)


def close_offers(request: PartRequest) -> list[Answer]:
    """No offer that still stands is chosen. Returns them, locked: each is taken back or told of this, never both."""
    offers = request.answers.filter(state=Offer.OFFERED)
    standing = list(offers.select_for_update(of=("self",)).select_related("answered_by", "workshop"))
    offers.update(state=Offer.NOT_CHOSEN)
    return standing


def reach(person: User, workshop: Workshop) -> list[User]:
    """The person who acted for the workshop; its managers where that person no longer acts for it."""
    able = Membership.objects.able_to_act().filter(workshop=workshop).select_related("person").order_by("pk")
    still = [one.person for one in able if one.person_id == person.pk]
    return still or [one.person for one in able if one.is_manager]


def reach_each(answers: Iterable[Answer]) -> list[User]:
    return [person for one in answers for person in reach(one.answered_by, one.workshop)]


def shared(pictures: Sequence[Cleaned], *, by: Membership) -> list[SharedPicture]:
    """Pictures that were meant for the board from the start."""
    return [share_new(one, by=by.person, workshop=by.workshop) for one in pictures]


def tell_about(verb: str, request: PartRequest, *, by: Membership | None, people: Iterable[User], **facts: Any) -> None:
    """The event of the request and its notices; `by` is None where the clock did it."""
    acted = {"by": by.person, "workshop": by.workshop} if by else {}
    event = Event.record(verb, request, **acted)
    tell(
        event,
        people=people,
        template=f"mail/{verb}.txt",
        facts={"request": request, "who": by.workshop if by else "", **facts},
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
