"""The way of a part, in the order of the work: asked, answered, accepted, sent, received, core back, deposit settled.

Made from the rows themselves, for the two sides of an accepted answer. Each step says who, on which day and with what;
a step that is still to come says whom it waits for.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Any

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from parts.carriage import CarriedAs
from parts.models import Answer, PartRequest, Shipment

FINDINGS = {
    "as_ordered": lambda: _("as ordered"),
    "other_revision": lambda: _("the number is right, the revision is another"),
    "wrong": lambda: _("another number than ordered"),
    "damaged": lambda: _("as ordered, but damaged on the way"),
}


@dataclass(frozen=True, kw_only=True)
class Step:
    """`state` is done, now (waits for somebody) or later; `wrong` where something is not as agreed."""

    code: str
    name: str
    state: str
    on: datetime.date | None = None
    facts: tuple[str, ...] = ()
    wrong: bool = False


def way(request: PartRequest, answer: Answer, shipments: dict[str, Shipment], settled: Any | None) -> list[Step]:
    """The steps of an accepted answer, `answer.arrives` being the promised day; the core only where one was agreed."""
    part, core = shipments.get(Shipment.Way.PART), shipments.get(Shipment.Way.CORE)
    steps = [
        _done("asked", _("Asked"), _day(request.asked_at), str(request.asked_by_workshop)),
        _done("answered", _("Answered"), _day(answer.answered_at), str(answer.workshop)),
        _done("accepted", _("Accepted"), _day(answer.accepted_at), _("by %(who)s") % {"who": answer.accepted_by}),
        _part_sent(request, answer, part),
        _received(request, answer, part),
    ]
    if answer.core_deposit is None:
        return steps
    steps += [
        _sent("core_sent", _("Core sent back"), core, _core_waits(request, answer)),
        _core_looked_at(core, answer),
        _settled(settled, answer, core),
    ]
    return _one_now(steps)


def _done(code: str, name: str, on: datetime.date | None, *facts: str, wrong: bool = False) -> Step:
    return Step(code=code, name=name, state="done", on=on, facts=tuple(fact for fact in facts if fact), wrong=wrong)


def _open(code: str, name: str, *facts: str) -> Step:
    return Step(code=code, name=name, state="now", facts=facts)


def _one_now(steps: list[Step]) -> list[Step]:
    """Of the steps of the core only the first open one is now; the others come later. The part's own are never held."""
    found, kept = False, []
    for step in steps:
        later = step.state == "now" and found
        found = found or step.state == "now"
        kept.append(Step(**{**step.__dict__, "state": "later"}) if later else step)
    return kept


def _sent(code: str, name: str, shipment: Shipment | None, waits: str) -> Step:
    if shipment is None:
        return _open(code, name, waits)
    return _done(code, name, shipment.sent_on, shipment.carrier, shipment.tracking, _carried(shipment.carried_as))


def _part_sent(request: PartRequest, answer: Answer, part: Shipment | None) -> Step:
    """A part that has arrived was sent, though nobody wrote down when."""
    if part is None and request.arrived_on:
        return _done("sent", _("Sent"), None, _("not written down"))
    return _sent("sent", _("Sent"), part, _("waits for %(who)s") % {"who": answer.workshop})


def _carried(code: str) -> str:
    """As what it was carried: the UN number, or why there is none."""
    if not code:
        return ""
    return str(CarriedAs(code).label) if code in CarriedAs else _("as %(number)s") % {"number": code}


def _received(request: PartRequest, answer: Answer, part: Shipment | None) -> Step:
    name = _("Received and inspected")
    if not request.arrived_on:
        promised = date_format(answer.arrives, "j M")  # type: ignore[attr-defined]
        waits = _("promised for %(day)s") % {"day": promised}
        return Step(code="received", name=name, state="now" if part else "later", facts=(waits,))
    facts = (
        FINDINGS[request.finding](),
        _("condition as described") if request.as_described else _("condition not as described"),
        on_the_day(request.arrived_on, answer.arrives),  # type: ignore[attr-defined]
    )
    wrong = request.finding != "as_ordered" or not request.as_described
    return _done("received", name, request.arrived_on, *facts, wrong=wrong)


def on_the_day(arrived: datetime.date, promised: datetime.date) -> str:
    """Whether it came on the promised day, as a fact: the day or before, or how many days after."""
    late = (arrived - promised).days
    if late <= 0:
        return _("by the promised day")
    return _("one day late") if late == 1 else _("%(n)d days late") % {"n": late}


def core_deadline(request: PartRequest, answer: Answer) -> datetime.date | None:
    """Until when the core has to be sent: so many days after the part arrived."""
    if not request.arrived_on or answer.core_days is None:
        return None
    return request.arrived_on + datetime.timedelta(days=answer.core_days)


def _core_waits(request: PartRequest, answer: Answer) -> str:
    until = core_deadline(request, answer)
    if until is None:
        return _("%(n)d days from receipt: %(criteria)s") % {"n": answer.core_days, "criteria": answer.core_criteria}
    return _("by %(day)s: %(criteria)s") % {"day": date_format(until, "j M"), "criteria": answer.core_criteria}


def _core_looked_at(core: Shipment | None, answer: Answer) -> Step:
    name = _("Core looked at")
    if core is None or core.arrived_on is None:
        return _open("core_received", name, _("waits for %(who)s") % {"who": answer.workshop})
    facts = (_("as agreed") if core.as_described else _("not as agreed"), core.remark)
    return _done("core_received", name, core.arrived_on, *facts, wrong=not core.as_described)


def _settled(settled: Any | None, answer: Answer, core: Shipment | None) -> Step:
    name, deposit = _("Deposit settled"), answer.in_words(answer.core_deposit)
    if settled is None:
        return _open("settled", name, _("%(sum)s, between the two workshops") % {"sum": deposit})
    back = _("%(sum)s of %(deposit)s given back") % {"sum": answer.in_words(settled.given_back), "deposit": deposit}
    return _done("settled", name, settled.settled_on, back, settled.reason, wrong=bool(settled.reason))


def _day(at: datetime.datetime | None) -> datetime.date | None:
    return timezone.localdate(at) if at else None
