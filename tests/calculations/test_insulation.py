"""Insulation against reference section 1 (IEEE 43 as quoted or from memory, as marked)."""

import math

import pytest
from CoolProp.HumidAirProp import HAPropsSI
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnostics.calculations.insulation import (
    absorption_ratio,
    assess_insulation,
    correct_to_reference,
    dew_point_c,
    judge_polarization,
    minimum_resistance_megohm,
    polarization_index,
    recommended_test_voltage_v,
    resistance_from_decay_megohm,
)
from diagnostics.calculations.verdicts import Verdict


@pytest.mark.parametrize(("rule", "expected"), [("halving", 375.0), ("thermosetting", 1143.3)])
def test_1500_megohm_at_20_degrees(rule, expected) -> None:
    # example 1.3, computed from the published formulas
    assert correct_to_reference(resistance_megohm=1500, measured_c=20, rule=rule) == pytest.approx(expected, abs=0.05)


@pytest.mark.parametrize(
    ("at_c", "factor"),
    [(10, 0.656), (20, 0.762), (30, 0.877), (40, 1.0), (50, 1.520), (60, 2.252), (70, 3.261), (80, 4.625)],
)
def test_the_factors_of_the_thermosetting_rule(at_c, factor) -> None:
    # IEEE 43-2013, from memory; computed values of reference section 1
    assert correct_to_reference(resistance_megohm=1, measured_c=at_c) == pytest.approx(factor, abs=6e-4)


@pytest.mark.parametrize(("measured", "reference"), [(9.9, 40), (85.1, 40), (40, 9), (40, 86)])
def test_the_thermosetting_rule_ends_at_10_and_85_degrees(measured, reference) -> None:
    with pytest.raises(ValueError, match="_c"):
        correct_to_reference(resistance_megohm=1, measured_c=measured, reference_c=reference)


@settings(max_examples=50)
@given(ohm=st.floats(0.1, 1e4), one=st.floats(10, 85), two=st.floats(10, 85),
       rule=st.sampled_from(["thermosetting", "halving"]))  # fmt: skip
def test_a_correction_is_undone_by_the_opposite_one(ohm, one, two, rule) -> None:
    there = correct_to_reference(resistance_megohm=ohm, measured_c=one, reference_c=two, rule=rule)
    back = correct_to_reference(resistance_megohm=there, measured_c=two, reference_c=one, rule=rule)
    assert back == pytest.approx(ohm)


def test_ratios_over_time() -> None:
    # example 1.1, electricalampere.com, as read; the second is the same arithmetic
    assert polarization_index(minute_1_megohm=500, minute_10_megohm=2000) == 4.0
    assert absorption_ratio(second_30_megohm=400, second_60_megohm=500) == pytest.approx(1.25)


@pytest.mark.parametrize(
    ("winding", "kv", "expected"),
    [
        # IEEE 43-2013 Table 3, as quoted; the last is example 1.2
        ("random_wound", 0.65, 5.0), ("form_wound", 0.65, 5.0), ("form_wound", 1.0, 100.0), ("form_wound", 6.6, 100.0),
        ("older", 0.48, 1.48),
    ],
)  # fmt: skip
def test_minimum_values(winding, kv, expected) -> None:
    assert minimum_resistance_megohm(winding=winding, rated_kv=kv) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("rated", "low", "high"),
    [
        # IEEE 43 Table 1, from memory
        (650, 500, 500), (999, 500, 500), (1000, 500, 1000), (2500, 500, 1000), (2501, 1000, 2500), (5000, 1000, 2500),
        (5001, 2500, 5000), (12000, 2500, 5000), (12001, 5000, 10000),
    ],
)  # fmt: skip
def test_recommended_test_voltages(rated, low, high) -> None:
    found = recommended_test_voltage_v(rated_v=rated)
    assert (found.minimum_v, found.maximum_v) == (low, high)


def test_loss_of_charge() -> None:
    # example 1.4, FOSSEE 3871/CH10/EX10.18, as read
    found = resistance_from_decay_megohm(start_v=250, end_v=92, elapsed_s=60, capacitance_f=600e-12)
    assert found == pytest.approx(1.0003e5, rel=1e-4)


def assessed(**changed):
    values = {
        "resistance_megohm": 550,
        "bound": "at_least",
        "measured_c": 24,
        "uncertainty_megohm": 16.8,
        "seconds": 60,
    }
    return assess_insulation(**{**values, **changed})


def test_beyond_the_display_is_within_a_minimum_of_5() -> None:
    finding = assessed().findings[0]
    kt = math.exp(-1245 * (1 / (24 + 273) - 1 / 313))  # IEEE 43-2013, from memory
    assert finding.value == pytest.approx(550 * kt) and finding.verdict is Verdict.WITHIN


@pytest.mark.parametrize(
    "changed",
    [
        {"measured_c": 5},
        {"measured_c": 90},
        {"measured_c": None},
        {"damp": True},
        {"seconds": 30},
        {"uncertainty_megohm": None},
        {"concerns": ["stale"]},
    ],
)
def test_out_of_range_damp_or_early_is_not_enough_data(changed) -> None:
    assert assessed(**changed).verdict is Verdict.UNPROVEN


def test_the_reason_names_the_temperature_that_no_rule_corrects() -> None:
    found = assessed(measured_c=5)
    assert found.findings[0].reason == "temperature_out_of_range"
    assert found.next_steps[0] == "measure_between_10_and_85_c"


def test_a_low_reading_is_outside() -> None:
    assert assessed(resistance_megohm=0.4, bound=None, uncertainty_megohm=0.05).verdict is Verdict.OUTSIDE


@pytest.mark.parametrize(
    ("minute_1", "minute_10", "expected"),
    [
        (
            500,
            2000,
            "within",
        ),  # reference 1.1: PI 4.0, electricalampere.com; minimum 2.0: IEEE 43-2013 Table 4, as quoted
        (500, 1000, "unproven"),  # exactly the minimum
        (500, 980, "outside"),
    ],
)
def test_the_index_is_judged_by_its_minimum(minute_1: float, minute_10: float, expected: str) -> None:
    found = judge_polarization(minute_1_megohm=minute_1, minute_10_megohm=minute_10, counts=3, resolution_megohm=0.1)
    assert found is not None and found.verdict == expected


def test_above_5000_megohm_at_one_minute_the_index_judges_nothing() -> None:
    # IEEE 43-2013, as quoted.
    readings = {"minute_1_megohm": 9000.0, "minute_10_megohm": 9000.0, "counts": 1, "resolution_megohm": 1}
    assert judge_polarization(**readings, at_40_c_megohm=5001.0) is None
    found = judge_polarization(**readings, at_40_c_megohm=5000.0)
    assert found is not None and found.verdict is Verdict.OUTSIDE


def test_a_bound_after_ten_minutes_makes_the_index_one() -> None:
    found = judge_polarization(
        minute_1_megohm=200.0, minute_10_megohm=550.0, minute_10_bound="at_least", counts=3, resolution_megohm=0.1
    )
    assert found is not None and (found.bound, found.verdict) == ("at_least", Verdict.WITHIN)


@pytest.mark.parametrize(("air_c", "humidity"), [(5.0, 90.0), (10.0, 60.0), (20.0, 80.0), (25.0, 50.0), (35.0, 30.0)])
def test_the_dew_point_is_that_of_humid_air(air_c: float, humidity: float) -> None:
    # CoolProp's humid air (ASHRAE RP-1485) at one atmosphere; Magnus stays within a twentieth of a kelvin above frost.
    theirs = HAPropsSI("D", "T", air_c + 273.15, "P", 101325, "R", humidity / 100) - 273.15
    assert dew_point_c(air_c=air_c, humidity_percent=humidity) == pytest.approx(theirs, abs=0.05)
