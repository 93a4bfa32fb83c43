"""Vehicle isolation against the circuit itself: node equations solved by numpy, legs and resistor chosen freely."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnostics.calculations.isolation import assess_isolation, isolation_resistance_ohm, minimum_ohm_per_volt
from diagnostics.calculations.isolation import standard_limit as law
from diagnostics.calculations.verdicts import Limit, Verdict

LEGS = st.floats(1e4, 5e6)


def to_body(battery: float, negative_legs: list[float], positive_legs: list[float]) -> tuple[float, float]:
    """Volts from each pole to the body: one node, the body, between the legs to the two poles (0 V and battery)."""
    low, high = (sum(1 / leg for leg in legs) for legs in (negative_legs, positive_legs))
    body = float(np.linalg.solve(np.array([[low + high]]), [battery * high])[0])
    return body, battery - body


def readings(battery: float, negative: float, positive: float, resistor: float, meter: float | None = None) -> dict:
    loads = [] if meter is None else [meter]
    minus, _ = to_body(battery, [negative, *loads], [positive])
    _, plus = to_body(battery, [negative], [positive, *loads])
    if minus >= plus:
        loaded, _ = to_body(battery, [negative, resistor, *loads], [positive])
    else:
        _, loaded = to_body(battery, [negative], [positive, resistor, *loads])
    return {
        "negative_to_body_v": minus, "positive_to_body_v": plus, "with_resistor_v": loaded, "resistor_ohm": resistor,
    }  # fmt: skip


@pytest.mark.parametrize(
    ("battery", "negative", "positive", "resistor", "expected"),
    [
        # examples 2.1 to 2.3
        (400, 400e3, 100e3, 200e3, 100e3), (360, 1e6, 150e3, 180e3, 150e3), (201.6, 2e6, 2e6, 100.8e3, 2e6),
    ],
)  # fmt: skip
def test_the_smaller_leg_is_found(battery, negative, positive, resistor, expected) -> None:
    assert isolation_resistance_ohm(**readings(battery, negative, positive, resistor)) == pytest.approx(expected)


def test_rounded_readings_give_the_published_rounding() -> None:
    # example 2.1: 228.6 in place of 228.5714 gives 99 956 ohm
    found = isolation_resistance_ohm(
        negative_to_body_v=320, positive_to_body_v=80, with_resistor_v=228.6, resistor_ohm=200e3
    )
    assert found == pytest.approx(99_956, abs=1)


@settings(max_examples=60)
@given(battery=st.floats(60, 900), negative=LEGS, positive=LEGS, resistor=st.floats(1e4, 1e6))
def test_any_legs_and_any_resistor_give_the_smaller_leg(battery, negative, positive, resistor) -> None:
    found = isolation_resistance_ohm(**readings(battery, negative, positive, resistor))
    assert found == pytest.approx(min(negative, positive), rel=1e-6)


@settings(max_examples=60)
@given(negative=st.floats(2e4, 1e5), positive=st.floats(2e5, 5e6), resistor=st.floats(1e4, 1e6))
def test_pole_to_pole_makes_a_loading_meter_exact_and_the_sum_understates(negative, positive, resistor) -> None:
    taken = readings(400.0, negative, positive, resistor, meter=10e6)
    assert isolation_resistance_ohm(**taken, pole_to_pole_v=400.0) == pytest.approx(negative, rel=1e-6)
    assert isolation_resistance_ohm(**taken) < negative


@pytest.mark.parametrize("loaded", [320.0, 321.0, 0.0, -1.0])
def test_a_loaded_reading_that_does_not_fall_is_refused(loaded) -> None:
    with pytest.raises(ValueError, match="with_resistor_v"):
        isolation_resistance_ohm(
            negative_to_body_v=320, positive_to_body_v=80, with_resistor_v=loaded, resistor_ohm=2e5
        )


@pytest.mark.parametrize(
    ("system", "expected"), [("dc", 100), ("ac", 500), ("combined", 500), ("combined_protected", 100)]
)
def test_ohms_for_each_volt(system, expected) -> None:
    # UN R100 5.1.3.1 and 5.1.3.2, as quoted
    assert minimum_ohm_per_volt(system=system) == expected


def test_boost_counts_and_not_the_pack() -> None:
    # a 201.6 V pack with a 650 V link: 325 kilohm at 500 ohm/V
    assert law(system="combined", highest_working_v=650).value == pytest.approx(325.0)


def assessed(limits, **legs):
    return assess_isolation(
        **readings(**{"battery": 400.0, "negative": 400e3, "positive": 100e3, "resistor": 200e3, **legs}),
        pole_to_pole_v=400.0, percent_of_reading=0.5, counts=2, resolution_v=0.01, resistor_tolerance_percent=1.0,
        limits=limits,
    )  # fmt: skip


def test_250_ohms_a_volt_are_enough_for_dc_and_too_little_for_combined() -> None:
    # example 2.1
    assert assessed([law(system="dc", highest_working_v=400)]).verdict is Verdict.WITHIN
    assert assessed([law(system="combined", highest_working_v=400)]).verdict is Verdict.OUTSIDE


def test_a_maker_s_lower_limit_does_not_loosen_the_standard() -> None:
    maker = Limit(kind="minimum", value=1.0, unit="kilohm", source="maker's manual", authority="maker")
    assert assessed([maker, law(system="combined", highest_working_v=400)]).verdict is Verdict.OUTSIDE
