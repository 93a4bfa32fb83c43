"""What travels after an answer is accepted: the part there, the core back, and what became of the deposit.

Each step is taken once, by the side whose matter it is, and the other side is told. Only facts are written down: the
day, the carrier, as what a trained shipper had it carried, what was seen. No money passes through the portal; a settled
deposit is a sentence that both read.
"""

from __future__ import annotations

import datetime
from decimal import Decimal
from typing import Any

from django.db import IntegrityError, transaction

from network.models import Membership
from parts import sourcing
from parts.models import Answer, DepositSettled, PartRequest, Shipment

Way = Shipment.Way


class NotDue(Exception):
    """This step was taken already, isn't due yet, or is the other side's."""


@transaction.atomic
def send(
    *, answer: Answer, by: Membership, sent_on: datetime.date, carrier: str, tracking: str = "", carried_as: str = ""
) -> Shipment:
    """Whoever's answer was accepted sends the part; raises NotDue."""
    accepted = _accepted(answer)
    if accepted.workshop_id != by.workshop_id or accepted.request.state != PartRequest.State.ACCEPTED:
        raise NotDue
    said = {"sent_on": sent_on, "carrier": carrier, "tracking": tracking, "carried_as": carried_as}
    shipment = _keep(accepted, Way.PART, by, **said)
    _tell_asker("part_sent", accepted, by, shipment=shipment)
    return shipment


@transaction.atomic
def send_core(
    *, answer: Answer, by: Membership, sent_on: datetime.date, carrier: str, tracking: str = "", carried_as: str = ""
) -> Shipment:
    """Whoever received the part sends the old one back; raises NotDue."""
    accepted = _accepted(answer)
    received = accepted.request.state == PartRequest.State.RECEIVED and accepted.core_deposit is not None
    if accepted.request.asked_by_workshop_id != by.workshop_id or not received:
        raise NotDue
    said = {"sent_on": sent_on, "carrier": carrier, "tracking": tracking, "carried_as": carried_as}
    shipment = _keep(accepted, Way.CORE, by, **said)
    _tell_answerer("core_sent", accepted, by, shipment=shipment)
    return shipment


@transaction.atomic
def look_at_core(
    *, answer: Answer, by: Membership, arrived_on: datetime.date, as_described: bool, remark: str = ""
) -> None:
    """Whoever sent the part writes down in what state the core came; raises NotDue."""
    accepted = _accepted(answer)
    if accepted.workshop_id != by.workshop_id:
        raise NotDue
    due = Shipment.objects.filter(answer=accepted.pk, way=Way.CORE, arrived_on__isnull=True)
    if not due.update(arrived_on=arrived_on, as_described=as_described, remark=remark, looked_at_by=by.person):
        raise NotDue
    _tell_asker("core_received", accepted, by)


@transaction.atomic
def settle_deposit(*, answer: Answer, by: Membership, given_back: Decimal, reason: str = "") -> DepositSettled:
    """Whoever took the deposit says how much of it was given back, once; raises NotDue, or ValueError for too much."""
    accepted = _accepted(answer)
    arrived = accepted.shipments.filter(way=Way.CORE, arrived_on__isnull=False).exists()
    if accepted.workshop_id != by.workshop_id or accepted.core_deposit is None or not arrived:
        raise NotDue
    if not 0 <= given_back <= accepted.core_deposit:
        raise ValueError(f"From 0 to {accepted.core_deposit} can be given back, not {given_back}.")
    try:
        with transaction.atomic():
            settled = DepositSettled.objects.create(
                answer=accepted, given_back=given_back, reason=reason, settled_by=by.person
            )
    except IntegrityError:
        raise NotDue from None
    _tell_asker("deposit_settled", accepted, by, amount=accepted.in_words(given_back))
    return settled


def _accepted(answer: Answer) -> Answer:
    """The accepted answer with its request, locked: both sides' steps come one after the other. Raises NotDue."""
    list(PartRequest.objects.select_for_update(of=("self",)).filter(pk=answer.request_id).values_list("pk"))
    rows = Answer.objects.filter(pk=answer.pk, state=Answer.State.ACCEPTED)
    found = rows.select_related("request__asked_by", "request__asked_by_workshop", "workshop", "answered_by").first()
    if found is None:
        raise NotDue
    return found


def _keep(answer: Answer, way: Shipment.Way, by: Membership, **said: Any) -> Shipment:
    try:
        with transaction.atomic():
            return Shipment.objects.create(answer=answer, way=way, sent_by=by.person, **said)
    except IntegrityError:
        raise NotDue from None


def _tell_asker(verb: str, answer: Answer, by: Membership, **facts: object) -> None:
    request = answer.request
    people = sourcing.reach(request.asked_by, request.asked_by_workshop)
    sourcing.tell_about(verb, request, by=by, people=people, answer=answer, **facts)


def _tell_answerer(verb: str, answer: Answer, by: Membership, **facts: object) -> None:
    people = sourcing.reach(answer.answered_by, answer.workshop)
    sourcing.tell_about(verb, answer.request, by=by, people=people, answer=answer, **facts)
