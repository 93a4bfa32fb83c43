"""What makes a verdict of within impossible: each takes a reading and gives it back with one thing missing or doubtful.

None where the kind can't have that doubt.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from diagnostics import kind as declared
from diagnostics.kind import Kind, Reading
from tests.diagnostics.sound import limits_of

# Their limit is the trade's or a standard's and stands in the calculation: common practice, or UN R100 as quoted.
WITH_A_LIMIT_OF_THEIR_OWN = {"absence_of_voltage", "power_stage_diodes", "fan_sweep", "interlock_bonding"}


def _meters(kind: Kind) -> list[declared.Meter]:
    return [field for field in kind.fields if isinstance(field, declared.Meter)]


def no_instrument(kind: Kind, reading: Reading) -> Reading:
    return replace(reading, accuracy=None)


def overdue(kind: Kind, reading: Reading) -> Reading:
    return replace(reading, concerns=("overdue_instrument",))


def wrong_state(kind: Kind, reading: Reading) -> Reading:
    return replace(reading, concerns=("wrong_state",))


def without_temperature(kind: Kind, reading: Reading) -> Reading | None:
    known = replace(reading, temperature_c=None, concerns=("missing_temperature",))
    return known if kind.needs_temperature else None


def without_limits(kind: Kind, reading: Reading) -> Reading | None:
    return None if kind.code in WITH_A_LIMIT_OF_THEIR_OWN else replace(reading, limits={}, family=None)


def unsourced_limits(kind: Kind, reading: Reading) -> Reading | None:
    given = {quantity: (limits[0].value, limits[0].upper) for quantity, limits in reading.limits.items()}
    unnamed = {
        quantity: limits_of(kind, {quantity: ends}, source=" ")[quantity][-1:] for quantity, ends in given.items()
    }
    return replace(reading, limits=unnamed, family=None) if kind.code not in WITH_A_LIMIT_OF_THEIR_OWN else None


def a_meter_missing(kind: Kind, reading: Reading) -> Reading | None:
    return _with_meters(kind, reading, None)


def a_meter_overdue(kind: Kind, reading: Reading) -> Reading | None:
    used = next(filter(None, (reading.values.get(meter.name) for meter in _meters(kind))), None)
    return _with_meters(kind, reading, {**used, "concerns": ["overdue_instrument"]}) if used else None


def _with_meters(kind: Kind, reading: Reading, used: dict[str, Any] | None) -> Reading | None:
    meters = [meter.name for meter in _meters(kind) if reading.values.get(meter.name)]
    return replace(reading, values={**reading.values, **dict.fromkeys(meters, used)}) if meters else None


def stale(kind: Kind, reading: Reading) -> Reading:
    return replace(reading, concerns=("stale",))


def absence_not_proved(kind: Kind, reading: Reading) -> Reading:
    return replace(reading, concerns=("absence_not_proved",))


DOUBTS = [
    no_instrument, overdue, stale, wrong_state, absence_not_proved, without_temperature, without_limits,
    unsourced_limits, a_meter_missing, a_meter_overdue,
]  # fmt: skip
