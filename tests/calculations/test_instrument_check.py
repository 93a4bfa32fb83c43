"""A meter against a certified resistor: guarded acceptance, as JCGM 106:2012 8.3.2 has it (from memory)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnostics.calculations.instrument_check import assess_instrument_check
from diagnostics.calculations.verdicts import Verdict

# 100 milliohm in a range of +-(0.25 % + 3 counts of 0.1): the meter may be off by 0.55 (by hand).
METER = {"percent_of_reading": 0.25, "counts": 3, "resolution": 0.1, "unit": "milliohm"}


def verdict(reading: float, spread: float = 0.01, **more) -> Verdict:
    return assess_instrument_check(
        **METER, reading=reading, certified=100.0, certified_uncertainty=spread, **more
    ).verdict


@pytest.mark.parametrize(
    ("reading", "expected"),
    [
        (100.0, "within"),
        (100.53, "within"),  # 0.53 + 0.01 < 0.55
        (99.47, "within"),
        (100.545, "unproven"),  # 0.545 + 0.01 > 0.55 > 0.545 - 0.01
        (100.57, "outside"),  # 0.57 - 0.01 > 0.55
        (99.4, "outside"),
    ],
)
def test_the_deviation_has_to_stay_below_the_stated_accuracy_by_the_certificates_uncertainty(reading, expected) -> None:
    assert verdict(reading) == expected


def test_a_resistor_known_no_better_than_the_meter_proves_nothing() -> None:
    assert verdict(100.0, spread=0.55) == "unproven"


def test_a_concern_about_the_resistor_forbids_within() -> None:
    assert verdict(100.0, concerns=["overdue_resistor"]) == "unproven"


@given(st.floats(0, 2), st.floats(0, 0.5))
def test_above_and_below_are_judged_alike(off: float, spread: float) -> None:
    assert verdict(100.0 + off, spread) == verdict(100.0 - off, spread)


@pytest.mark.parametrize("changed", [{"reading": -1.0}, {"certified": 0.0}, {"certified_uncertainty": -1.0}])
def test_impossible_figures_are_refused(changed: dict) -> None:
    with pytest.raises(ValueError, match=next(iter(changed))):
        assess_instrument_check(**METER | {"reading": 100, "certified": 100, "certified_uncertainty": 1} | changed)
