"""Inductance over rotor position and back-voltage: properties of the transform, and the rules (common practice)."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnostics.calculations.back_voltage import assess_back_voltage, volts_per_1000_rpm
from diagnostics.calculations.inductance import (
    assess_inductance,
    curve_difference_percent,
    curve_difference_uncertainty_percent,
)
from diagnostics.calculations.verdicts import Limit, Verdict

ANGLES = 2 * np.pi * np.arange(12) / 12
FIVE = Limit(kind="maximum", value=5.0, unit="%", source="maker's manual", authority="maker")
SIXTY = Limit(kind="minimum", value=60.0, unit="V per 1000 rpm", source="maker's manual", authority="maker")


def curve(shift: float = 0.0, mean: float = 2.0, swing: float = 0.6) -> np.ndarray:
    return mean + swing * np.cos(ANGLES + shift)


@settings(max_examples=40)
@given(shift=st.floats(0, 6.28))
def test_curves_that_only_begin_elsewhere_are_alike(shift) -> None:
    # shift theorem of the Fourier transform (from memory): any angle, not only whole steps
    assert curve_difference_percent(curves_mh=[curve(), curve(shift), curve(2 * shift)]) == pytest.approx(0, abs=1e-9)


def test_a_curve_that_is_lower_throughout_differs_by_its_mean() -> None:
    # by hand: means 2, 2, 1.7 have the mean 1.9, and 1.7 is 0.2 away: 10.526 %
    found = curve_difference_percent(curves_mh=[curve(), curve(2.1), curve(4.2, mean=1.7)])
    assert found == pytest.approx(100 * 0.2 / 1.9)


def test_a_flattened_curve_differs_though_its_mean_does_not() -> None:
    # by hand: swings 0.6, 0.6, 0.3 have the mean 0.5; a cosine 0.2 smaller has the root mean square 0.2 / sqrt 2
    found = curve_difference_percent(curves_mh=[curve(), curve(2.1), curve(4.2, swing=0.3)])
    assert found == pytest.approx(100 * 0.2 / np.sqrt(2) / 2.0)


def test_counts_move_the_difference_by_less_than_the_uncertainty_says() -> None:
    random = np.random.default_rng(7)  # noise of 2 sigma = 3 counts of 0.001 mH, seeded
    moved = [
        curve_difference_percent(curves_mh=[curve(s) + random.normal(0, 0.0015, 12) for s in (0, 2.1, 4.2)])
        for _ in range(200)
    ]
    bound = curve_difference_uncertainty_percent(curves_mh=[curve()] * 3, counts=3, resolution_mh=0.001)
    assert np.quantile(moved, 0.95) < bound


def test_a_machine_with_magnets_needs_whole_curves() -> None:
    single = {"curves_mh": [[2.0], [2.0], [2.0]], "counts": 2, "resolution_mh": 0.001, "limits": [FIVE]}
    assert assess_inductance(**single).findings[0].reason == "missing_rotor_positions"
    assert assess_inductance(**single, machine="induction").verdict is Verdict.WITHIN


def test_a_differing_curve_is_outside_and_no_limit_is_not_enough_data() -> None:
    curves = [curve(), curve(2.1), curve(4.2, mean=1.7)]
    found = assess_inductance(curves_mh=curves, counts=2, resolution_mh=0.001, limits=[FIVE])
    assert found.verdict is Verdict.OUTSIDE and "suspect_shorted_turn" in found.next_steps
    assert assess_inductance(curves_mh=curves, counts=2, resolution_mh=0.001).verdict is Verdict.UNPROVEN


@pytest.mark.parametrize("bad", [[[1.0]], [[1.0], [1.0, 2.0]], [[1.0], [0.0]], [[1.0], [float("nan")]]])
def test_curves_that_can_t_be_are_refused(bad) -> None:
    with pytest.raises(ValueError, match="curves_mh"):
        curve_difference_percent(curves_mh=bad)


@settings(max_examples=40)
@given(volts=st.floats(0.1, 500), rpm=st.floats(1, 1e4), factor=st.floats(0.1, 10))
def test_the_constant_does_not_know_the_speed(volts, rpm, factor) -> None:
    # law of induction: voltage proportional to speed (from memory)
    one = volts_per_1000_rpm(voltage_v=volts, speed_rpm=rpm)
    assert volts_per_1000_rpm(voltage_v=volts * factor, speed_rpm=rpm * factor) == pytest.approx(one)


def turned(voltages, **changed):
    values = {
        "voltages_v": voltages, "speed_rpm": 500, "speed_uncertainty_rpm": 2, "percent_of_reading": 0.5, "counts": 2,
        "resolution_v": 0.01, "unbalance_limits": [FIVE], "constant_limits": [SIXTY],
    }  # fmt: skip
    return assess_back_voltage(**{**values, **changed})


def test_low_in_all_pairs_points_at_the_magnets() -> None:
    found = turned(np.array([25.0, 25.1, 24.9]))
    assert found.verdict is Verdict.OUTSIDE
    assert found.next_steps == ("turning_makes_voltage", "suspect_weak_magnets")


def test_unequal_pairs_point_at_the_winding() -> None:
    assert turned([35.0, 35.0, 28.0]).next_steps == ("turning_makes_voltage", "suspect_winding")


def test_equal_and_high_enough_is_within() -> None:
    assert turned([35.0, 35.1, 34.9]).verdict is Verdict.WITHIN


@pytest.mark.parametrize("changed", [{"speed_uncertainty_rpm": None}, {"counts": None}, {"constant_limits": ()},
                                     {"unbalance_limits": ()}, {"concerns": ["wrong_state"]}])  # fmt: skip
def test_what_is_lacking_makes_it_not_enough_data(changed) -> None:
    assert turned([35.0, 35.1, 34.9], **changed).verdict is Verdict.UNPROVEN
