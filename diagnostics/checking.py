"""Meters checked against a certified resistor, and what such a check lifts: the one place that decides it.

An overdue meter proves nothing. Read against a certified resistor the same day, and found to keep the accuracy that
its data sheet states, its readings in that range count on that day: in milliohm and megohm only, never in volts, and
never for the proof of absence of voltage, where the meter is proved on a known source and has to be in date as well.
The last check of the day counts. One that fails speaks against the meter, however long its own date still runs.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.utils import timezone

from diagnostics.calculations.instrument_check import LOWEST_PART_OF_RANGE, assess_instrument_check
from diagnostics.calculations.verdicts import Verdict
from diagnostics.models import CheckResistor, InstrumentCheck, InstrumentRange
from network.models import Event, Membership

LIFTED_UNITS = (InstrumentRange.Unit.MILLIOHM, InstrumentRange.Unit.MEGOHM)
NEVER_LIFTED = ("absence_of_voltage",)  # kinds of record, whatever unit they are read in
OVERDUE, FAILS = "overdue_instrument", "instrument_fails_check"


@dataclass(frozen=True, kw_only=True)
class Trust:
    """What speaks against a meter on a day, as reason codes, and the check that its reading stands on instead."""

    concerns: tuple[str, ...]
    check: InstrumentCheck | None = None


def trust_in(used: InstrumentRange, *, kind: str, at: datetime.datetime) -> Trust:
    """Whether a reading of this range at that time can prove anything, for a record of that kind."""
    day = timezone.localdate(at)
    concerns = used.instrument.concerns(day)
    if used.unit not in LIFTED_UNITS or kind in NEVER_LIFTED:
        return Trust(concerns=concerns)
    check = _last_of_the_day(used, day)
    if check is not None and check.verdict == Verdict.OUTSIDE:
        return Trust(concerns=(FAILS, *concerns))
    if concerns != (OVERDUE,) or check is None or check.verdict != Verdict.WITHIN or check.resistor_due < day:
        return Trust(concerns=concerns)
    return Trust(concerns=(), check=check)


def _last_of_the_day(used: InstrumentRange, day: datetime.date) -> InstrumentCheck | None:
    """The newest check of this range on that day, by the clock of the workshop."""
    begins = timezone.make_aware(datetime.datetime.combine(day, datetime.time.min))
    ends = timezone.make_aware(datetime.datetime.combine(day + datetime.timedelta(days=1), datetime.time.min))
    of_day = InstrumentCheck.objects.filter(instrument_range=used, checked_at__gte=begins, checked_at__lt=ends)
    return of_day.select_related("resistor").order_by("-checked_at", "-pk").first()


def fits(resistor: CheckResistor, used: InstrumentRange) -> bool:
    """Whether the resistor tests this range: same unit, not beyond its end, and not so low that only counts matter."""
    lowest = LOWEST_PART_OF_RANGE * used.highest
    return resistor.unit == used.unit and lowest <= resistor.certified_value <= used.highest


@transaction.atomic
def check(
    used: InstrumentRange,
    resistor: CheckResistor,
    *,
    reading: float,
    by: Membership,
    at: datetime.datetime | None = None,
) -> InstrumentCheck:
    """Keep one reading of the resistor with this range, judged; the resistor has to fit it."""
    if not fits(resistor, used):
        raise ValueError(f"{resistor} doesn't test the range {used}.")
    at = at or timezone.now()
    found = assess_instrument_check(
        reading=reading,
        certified=resistor.certified_value,
        certified_uncertainty=resistor.certified_uncertainty,
        percent_of_reading=used.percent_of_reading,
        counts=used.counts,
        resolution=used.resolution,
        unit=used.unit,
        concerns=("overdue_resistor",) if resistor.overdue(timezone.localdate(at)) else (),
    )
    limit = found.findings[0].limit
    made = InstrumentCheck(
        instrument_range=used,
        resistor=resistor,
        certified_value=resistor.certified_value,
        certified_uncertainty=resistor.certified_uncertainty,
        certificate=resistor.certificate,
        resistor_due=resistor.due,
        reading=reading,
        allowed=limit.value if limit else 0.0,
        verdict=found.verdict,
        checked_at=at,
        checked_by=by.person,
    )
    made.save()
    Event.record("instrument_checked", made, by=by.person, workshop=by.workshop)
    return made


@transaction.atomic
def keep_resistor(resistor: CheckResistor, *, by: Membership) -> CheckResistor:
    """A new check resistor, or a new certificate of one; checks of the past keep what held on their day."""
    new = resistor.pk is None
    resistor.save()
    Event.record("resistor_entered" if new else "resistor_changed", resistor, by=by.person, workshop=by.workshop)
    return resistor


def check_as_json(made: InstrumentCheck | None) -> dict[str, Any] | None:
    """What a record keeps of the check that it stands on."""
    if made is None:
        return None
    return {
        "resistor": made.resistor.name,
        "serial": made.resistor.serial,
        "certificate": made.certificate,
        "resistor_due": made.resistor_due.isoformat(),
        "unit": made.instrument_range.unit,
        "certified_value": made.certified_value,
        "certified_uncertainty": made.certified_uncertainty,
        "reading": made.reading,
        "allowed": made.allowed,
        "checked_on": timezone.localdate(made.checked_at).isoformat(),
    }
