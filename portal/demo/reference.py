"""Windings that seven workshops measured on the bench and shared as reference readings, without the car."""

from __future__ import annotations

import datetime
from typing import Any

from django.utils import timezone

from diagnostics import reference_readings
from diagnostics.kinds import all_kinds
from diagnostics.models import Instrument, InstrumentRange, Sheet, SystemFamily
from diagnostics.recording import Entry, add_record
from network.access import acting_for
from network.models import Membership
from portal.demo.network import Cast

# The three pairs in milliohm, at what temperature, after how many thousand km, and how the machine turned out.
READ = [
    ((92.8, 93.1, 93.6), 22.0, "100", "sound"),
    ((93.9, 94.2, 94.1), 24.0, "150", "sound"),
    ((91.7, 92.3, 92.0), 19.5, "100", "sound"),
    ((94.4, 94.0, 94.9), 26.0, "200", "sound"),
    ((93.2, 93.5, 93.4), 21.5, "150", "sound"),
    ((92.1, 92.9, 92.6), 20.0, "50", "sound"),
    ((92.5, 96.9, 93.0), 23.0, "200", "failed"),
]


def load_references(*, cast: Cast, families: dict[str, SystemFamily]) -> None:
    """Each by another workshop than the one of the demo's sign-ins, whose readings are compared with them."""
    others = [name for name, workshop in cast.workshops.items() if workshop not in (cast.hautpre, cast.rureifel)]
    able = [cast.workshops[name] for name in others if cast.workshops[name].memberships.able_to_act().exists()]
    for workshop, (pairs, at_c, mileage, turned) in zip(able, READ, strict=False):
        member = workshop.memberships.able_to_act().select_related("person", "workshop")[0]
        with acting_for(workshop):
            record = add_record(_entry(member, families["vireo"], pairs, at_c))
            reference_readings.share(record, by=member, turned=turned, mileage=mileage)


def _entry(member: Membership, family: SystemFamily, pairs: tuple[float, ...], at_c: float) -> Entry:
    due = timezone.localdate() + datetime.timedelta(days=180)
    meter = Instrument(name="Milliohm meter", serial="MM-114", calibration_due=due)
    meter.save()
    used = InstrumentRange(
        instrument=meter, unit="milliohm", highest=200, percent_of_reading=0.25, counts=3, resolution=0.1
    )
    used.save()
    sheet = Sheet(
        title="Machine on the bench", family=family, part_kind="machine", occasion="bench", made_by=member.person
    )
    sheet.save()
    values: dict[str, Any] = dict(zip(("uv_milliohm", "vw_milliohm", "wu_milliohm"), pairs, strict=True))
    return Entry(
        sheet=sheet, kind=all_kinds()["machine_windings"], taken_by=member, state="bench", subject="1",
        values=values | {"leads_milliohm": 0.4}, instrument_range=used, temperature_c=at_c,
    )  # fmt: skip
