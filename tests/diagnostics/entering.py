"""The sound reading of a kind as somebody types it into its form."""

from __future__ import annotations

import datetime
from typing import Any

from django.utils import timezone

from diagnostics import kind as declared
from diagnostics.kind import Kind, Value
from diagnostics.models import Instrument, InstrumentRange
from tests.bench import Bench
from tests.diagnostics.sound import SOUND


def meter(unit: str, highest: float = 2000.0, due_in_days: int = 100) -> InstrumentRange:
    due = timezone.localdate() + datetime.timedelta(days=due_in_days)
    instrument = Instrument(name=f"Second {unit} {highest:g}", serial="4472", calibration_due=due)
    instrument.save()
    made = InstrumentRange(
        instrument=instrument, unit=unit, highest=highest, percent_of_reading=0.1, counts=1, resolution=0.001
    )
    made.save()
    return made


def typed(bench: Bench, kind: Kind) -> dict[str, Any]:
    """The sound reading of the kind as somebody types it, with instruments in date."""
    sound = SOUND[kind.code]
    data = {field.name: written(sound.values.get(field.name)) for field in kind.fields}
    for field in kind.fields:
        if isinstance(field, declared.Meter):
            data[field.name] = meter(field.unit).pk
    first = {
        "state": sound.state or kind.states[-1],
        "stood_by": bench.bram.person_id,
        "temperature_c": sound.temperature_c or "",
    }
    first["instrument_range"] = meter(kind.unit, 3000.0).pk
    return data | first | ({"subject": "1"} if kind.per_subject else {})


def written(value: Any) -> str:
    if isinstance(value, Value):
        return f"{'>' if value.bound == 'at_least' else '<'} {value.figure:g}"
    if isinstance(value, tuple):
        return "; ".join(f"{one:g}" for one in value)
    if isinstance(value, bool):
        return "on" if value else ""
    return "" if value is None else str(value).replace(".", ",") if isinstance(value, float) else str(value)
