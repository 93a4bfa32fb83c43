"""Keep the workshop's instruments: whoever moves a calibration date or enters an accuracy answers for it by name.

Each change is an event that the instrument's page shows; a record keeps the accuracy and the date that held on its day.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from django.db import transaction
from django.db.models import Q
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from diagnostics.models import Instrument, InstrumentRange
from network.models import Event, Membership


@dataclass(frozen=True, kw_only=True)
class Change:
    """One line of an instrument's history."""

    at: datetime.datetime
    person: str
    words: str


@transaction.atomic
def keep_instrument(instrument: Instrument, *, by: Membership) -> Instrument:
    """A new instrument, or another label, serial number or calibration date of one."""
    new = instrument.pk is None
    instrument.save()
    due = instrument.calibration_due
    verb = "instrument_entered" if new else "instrument_changed"
    Event.record(verb, instrument, by=by.person, workshop=by.workshop, due=due.isoformat() if due else None)
    return instrument


@transaction.atomic
def add_range(added: InstrumentRange, *, instrument: Instrument, by: Membership) -> InstrumentRange:
    added.instrument = instrument
    added.save()
    Event.record("instrument_range_entered", added, by=by.person, workshop=by.workshop)
    return added


def history(instrument: Instrument) -> list[Change]:
    """Every change of the instrument and its ranges, newest first."""
    ranges = {one.pk: f"{one.highest:g} {one.get_unit_display()}" for one in instrument.ranges.all()}
    of_ranges = Q(subject_type=InstrumentRange._meta.label_lower, subject_id__in=ranges)
    of_itself = Q(subject_type=Instrument._meta.label_lower, subject_id=instrument.pk)
    events = Event.objects.filter(of_itself | of_ranges).select_related("by").order_by("-at", "-pk")
    return [
        Change(at=event.at, person=event.by.name if event.by else "", words=_words(event, ranges)) for event in events
    ]


def _words(event: Event, ranges: dict[int, str]) -> str:
    if event.verb == "instrument_range_entered":
        return _("range entered: %(range)s") % {"range": ranges[event.subject_id]}
    entered = _("entered") if event.verb == "instrument_entered" else _("label and date kept")
    if not event.facts.get("due"):
        return _("%(what)s, without a calibration date") % {"what": entered}
    due = date_format(datetime.date.fromisoformat(event.facts["due"]))
    return _("%(what)s, calibration due %(date)s") % {"what": entered, "date": due}
