"""Whatever the form of a kind lets through, as hypothesis draws it: edges of what is possible, bounds, rows, gaps."""

from __future__ import annotations

from typing import Any

import numpy as np
from hypothesis import strategies as st

from diagnostics import kind as declared
from diagnostics.calculations.measurement_log import MeasurementLog
from diagnostics.kind import Accuracy, Family, Kind, Reading, Value
from tests.diagnostics.sound import METER, limits_of

FARTHEST = 1e12  # for what has no end of its own
accuracies = st.builds(
    Accuracy,
    percent_of_reading=st.sampled_from([0.0, 0.1, 0.5, 3.0]),
    counts=st.sampled_from([0.0, 1.0, 3.0]),
    resolution=st.sampled_from([0.001, 0.01, 0.1, 1.0]),
)
families = st.builds(
    Family,
    drive=st.sampled_from(["hybrid", "electric"]),
    nominal_v=st.just(201.6),
    highest_working_v=st.sampled_from([201.6, 650.0]),
    chemistry=st.sampled_from(["nickel_metal_hydride", "lithium_ion", "lithium_iron_phosphate"]),
    blocks=st.sampled_from([3, 14]),
    rated_ah=st.sampled_from([6.5, 150.0]),
    machines=st.just(1),
    machine_type=st.sampled_from(["permanent_magnet", "induction", "wound_rotor"]),
    connection=st.sampled_from(["wye", "delta"]),
)


def figures(low: float | None, high: float | None) -> st.SearchStrategy[float]:
    low, high = -FARTHEST if low is None else low, FARTHEST if high is None else high
    edges = [edge for edge in (low, high, 0.0, 1e-12, 60.0) if low <= edge <= high]
    ordinary = st.floats(max(low, -500.0), min(high, 500.0))
    # No display shows subnormal figures, and the form takes two digits of exponent only.
    every = st.floats(low, high, allow_subnormal=False).filter(lambda x: x == 0 or abs(x) > 1e-99)
    return st.one_of(st.sampled_from(edges), ordinary.filter(lambda x: x == 0 or abs(x) > 1e-99), every)


@st.composite
def logs(draw: st.DrawFn) -> MeasurementLog:
    steps = draw(st.lists(st.floats(0, 3600), min_size=1, max_size=12))
    rows = len(steps)
    volts = draw(st.lists(st.floats(-10, 1500), min_size=rows, max_size=rows))
    amperes = draw(st.lists(st.floats(-500, 500), min_size=rows, max_size=rows))
    gaps = draw(st.sampled_from([(), ((0.0, 60.0),)]))
    return MeasurementLog(times_s=np.cumsum(steps), volts_v=np.array(volts), currents_a=np.array(amperes), gaps=gaps)


@st.composite
def values(draw: st.DrawFn, kind: Kind) -> dict[str, Any]:
    """One value for each declared field; rows are of one length more often than not."""
    length = draw(st.integers(0, 8))
    typed: dict[str, Any] = {}
    for field in kind.fields:
        match field:
            case declared.Figure():
                value: Any = draw(figures(field.low, field.high))
                if field.may_be_bound and draw(st.booleans()):
                    value = Value(value, draw(st.sampled_from(["at_least", "at_most"])))
                if not field.required and draw(st.integers(0, 3)) == 0:
                    value = None
            case declared.Figures():
                size = length if draw(st.integers(0, 4)) else draw(st.integers(0, 8))
                size = 0 if not field.required and draw(st.integers(0, 3)) == 0 else size
                value = tuple(draw(st.lists(figures(field.low, field.high), min_size=size, max_size=size)))
                value = tuple(sorted(value)) if draw(st.booleans()) else value
            case declared.Choice():
                value = draw(st.sampled_from([code for code, _words in field.choices]))
            case declared.Tick():
                value = draw(st.booleans())
            case declared.Meter():
                concerns = draw(st.sampled_from([[], ["overdue_instrument"]]))
                value = draw(st.sampled_from([None, METER | {"concerns": concerns}]))
            case declared.Log():
                value = draw(st.none() | logs())
            case _:
                value = "as stated"
        if not (isinstance(field, declared.Log) and value is None):
            typed[field.name] = value
    return typed


@st.composite
def readings(draw: st.DrawFn, kind: Kind) -> Reading:
    """A reading with any family, instrument, limits and state that the page would offer."""
    given_limits = {}
    for quantity, (shape, _unit) in kind.limitable.items():
        if draw(st.booleans()):
            value = draw(st.sampled_from([0.0, 0.045, 5.0]) | st.floats(1e-6, 1000))
            given_limits[quantity] = (value, value + 10 if shape == "range" else None)
    family = draw(st.none() | families)
    return Reading(
        values=draw(values(kind)),
        temperature_c=draw(st.none() | st.floats(-50, 300)) if kind.needs_temperature else None,
        accuracy=draw(st.none() | accuracies),
        family=family,
        limits=limits_of(kind, given_limits) if family else {},
        concerns=draw(st.sampled_from([(), (), ("overdue_instrument",), ("wrong_state", "missing_second_person")])),
        state=draw(st.sampled_from(kind.states)),
    )
