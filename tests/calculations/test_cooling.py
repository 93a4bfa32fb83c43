"""Fans and coolant against published examples, CoolProp for the fluids and pint for the units."""

import math

import CoolProp.CoolProp
import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnostics.calculations.cooling import (
    FanStep,
    assess_coolant_loop,
    assess_fan_sweep,
    heat_carried_w,
    scale_fan,
)
from diagnostics.calculations.verdicts import Limit

units = pint.UnitRegistry()


def limit(kind, value, unit):
    return Limit(kind=kind, value=value, unit=unit, source="Lanner sheet 7", authority="maker")


def fluid(name, celsius):
    """Density and heat capacity at one atmosphere, from CoolProp."""
    state = ("T", celsius + 273.15, "P", 101_325, name)
    return {
        "density_kg_per_m3": CoolProp.CoolProp.PropsSI("D", *state),
        "heat_capacity_j_per_kg_k": CoolProp.CoolProp.PropsSI("C", *state),
    }


def test_air_carries_away_what_the_rule_of_fan_makers_says():
    # braemacca/JMC: CFM = 1.76 W / dT(C), 35 cfm for 200 W and 10 C; 1.2 kg/m3 and 1005 J/kgK give 35.14 cfm.
    flow = units.Quantity(35.14, "foot**3/minute").to("m**3/s").magnitude
    heat = heat_carried_w(flow_m3_per_s=flow, rise_k=10, density_kg_per_m3=1.2, heat_capacity_j_per_kg_k=1005)
    assert heat == pytest.approx(200, rel=1e-4)


def test_air_of_coolprop_keeps_the_rule_within_a_few_percent():
    # CoolProp: air at 25 C 1.1843 kg/m3, 1006.3 J/kgK; the rule of fan makers is rounded (1.76 W/(cfm C)).
    flow = units.Quantity(1.76 * 200 / 10, "foot**3/minute").to("m**3/s").magnitude
    assert heat_carried_w(flow_m3_per_s=flow, rise_k=10, **fluid("Air", 25)) == pytest.approx(200, rel=0.02)


@pytest.mark.parametrize(("name", "celsius"), [("Water", 25), ("INCOMP::MEG-50%", 40)])
def test_coolant_carries_away_what_the_units_say(name, celsius):
    # CoolProp for the fluid, pint for litres a minute to watts.
    properties = fluid(name, celsius)
    flow = units.Quantity(8, "liter/minute")
    mass = flow * units.Quantity(properties["density_kg_per_m3"], "kg/m**3")
    expected = (mass * units.Quantity(properties["heat_capacity_j_per_kg_k"], "J/kg/K") * units.Quantity(4, "K")).to(
        "W"
    )
    heat = heat_carried_w(flow_m3_per_s=flow.to("m**3/s").magnitude, rise_k=4, **properties)
    assert heat == pytest.approx(expected.magnitude)


def test_glycol_carries_less_than_water_at_the_same_flow():
    # CoolProp: 50 % glycol at 40 C 1053.4 kg/m3 x 3412.7 J/kgK against water's 992.2 x 4180.
    water, glycol = (
        heat_carried_w(flow_m3_per_s=1e-4, rise_k=5, **fluid(name, 40)) for name in ("Water", "INCOMP::MEG-50%")
    )
    assert glycol / water == pytest.approx(1053.4 * 3412.7 / (992.2 * 4180), rel=2e-3)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("flow_m3_per_s", -1),
        ("rise_k", math.nan),
        ("density_kg_per_m3", 0),
        ("heat_capacity_j_per_kg_k", -5),
        ("flow_m3_per_s", math.inf),
    ],
)
def test_an_impossible_flow_is_refused(name, value):
    figures = {"flow_m3_per_s": 1, "rise_k": 1, "density_kg_per_m3": 1, "heat_capacity_j_per_kg_k": 1}
    with pytest.raises(ValueError, match=f"The argument {name} must"):
        heat_carried_w(**(figures | {name: value}))


def test_a_fan_at_three_quarters_of_its_speed_is_as_in_the_homework():
    # University homework 6, scribd 262289512: 6000 cfm, 4 in, 6 hp at 2000 rpm -> 4500 cfm, 2.25 in, 2.53 hp at 1500.
    point = scale_fan(flow=6000, pressure=4, power=6, from_rpm=2000, to_rpm=1500)
    assert (point.flow, point.pressure, point.power) == pytest.approx((4500, 2.25, 2.53), abs=0.005)


def test_a_fan_made_faster_is_as_in_the_formulas_for_fan_applications():
    # Formulas for Fan Applications, scribd 246334027: 33 120 -> 41 500 cfm: 777 rpm, 3.93 in, 39.39 bhp
    # (the printed figures are rounded; unrounded 776.87, 3.925, 39.366).
    point = scale_fan(flow=33_120, pressure=2.5, power=20.01, from_rpm=620, to_rpm=620 * 41_500 / 33_120)
    assert (point.flow, point.pressure, point.power) == pytest.approx((41_500, 3.925, 39.366), rel=1e-4)


@given(st.floats(1, 5000), st.floats(1, 5000), st.floats(0, 1e4))
def test_scaling_there_and_back_changes_nothing(first, second, figure):
    there = scale_fan(flow=figure, pressure=figure, power=figure, from_rpm=first, to_rpm=second)
    back = scale_fan(flow=there.flow, pressure=there.pressure, power=there.power, from_rpm=second, to_rpm=first)
    assert (back.flow, back.pressure, back.power) == pytest.approx((figure,) * 3)


@pytest.mark.parametrize(("name", "value"), [("from_rpm", 0), ("to_rpm", -1), ("flow", -1), ("power", math.nan)])
def test_an_impossible_fan_is_refused(name, value):
    figures = {"flow": 1, "pressure": 1, "power": 1, "from_rpm": 1, "to_rpm": 1}
    with pytest.raises(ValueError, match=f"The argument {name} must"):
        scale_fan(**(figures | {name: value}))


def sweep(*pairs, expected=None, **more):
    steps = [FanStep(commanded_percent=told, measured=read, expected=expected) for told, read in pairs]
    return assess_fan_sweep(steps=steps, **({"uncertainty": 10.0} | more))


def test_a_fan_that_rises_with_every_step_is_within():
    # common practice, no source: every step rises.
    found = sweep((20, 700), (40, 1200), (60, 1800), (80, 2500), (100, 3400))
    assert found.verdict == "within"
    assert len(found.findings) == 4
    assert found.findings[0].limit.source == "common practice, no source"


@pytest.mark.parametrize("stuck", [1200, 1190, 300])
def test_a_fan_that_stays_or_falls_is_outside_with_both_percentages(stuck):
    # common practice, no source: every step rises.
    found = sweep((20, 700), (40, 1200), (60, stuck), (80, 2500))
    bad = found.findings[1]
    assert (found.verdict, bad.verdict, bad.reason) == ("outside", "outside", "no_rise")
    assert bad.quantity == "rise_between_40_and_60_percent"
    assert "between 40 and 60 %" in bad.explanation
    assert found.next_steps[0] == "check_filter_duct_and_fan"


def test_a_rise_that_the_instrument_cannot_tell_is_unproven():
    # GUM 5.1.2, from memory: two readings of U = 10 differ by 12 with U = 14.1.
    finding = sweep((40, 1200), (60, 1212)).findings[0]
    assert finding.uncertainty == pytest.approx(math.sqrt(200))
    assert (finding.verdict, finding.reason) == ("unproven", "touches_limit")


def test_without_accuracy_or_reading_or_in_a_wrong_state_a_flat_fan_proves_nothing():
    flat = ((40, 1200), (60, 1200))
    assert sweep(*flat, uncertainty=None).findings[0].reason == "uncertainty_unknown"
    assert sweep((40, 1200), (60, None)).findings[0].reason == "missing"
    found = sweep(*flat, concerns=["wrong_state"])
    assert (found.verdict, found.findings[0].reason) == ("unproven", "wrong_state")


def test_fewer_than_two_steps_are_not_enough_data():
    for found in (sweep(), sweep((40, 1200), expected=1200)):
        assert (found.verdict, found.findings, found.next_steps) == ("unproven", (), ("take_reading",))


def test_what_the_maker_expects_is_compared_where_it_is_known():
    within = sweep((40, 1180), (60, 1230), expected=1200, limits=[limit("maximum", 10, "%")])
    assert [finding.verdict for finding in within.findings] == ["within"] * 3
    assert within.findings[1].quantity == "deviation_at_40_percent"
    assert within.findings[1].value == pytest.approx(100 * 20 / 1200)
    assert sweep((40, 600), (60, 1230), expected=1200, limits=[limit("maximum", 10, "%")]).verdict == "outside"
    assert sweep((40, 1180), (60, 1230), expected=1200).next_steps == ("enter_limit",)


@pytest.mark.parametrize("steps", [[(40, 1), (40, 2)], [(60, 1), (40, 2)]])
def test_a_sweep_that_does_not_rise_in_command_is_refused(steps):
    with pytest.raises(ValueError, match="must rise in commanded_percent, but 40 follows"):
        sweep(*steps)


@pytest.mark.parametrize("bad", [{"commanded_percent": 101}, {"measured": -1}, {"expected": math.nan}])
def test_an_impossible_step_is_refused(bad):
    with pytest.raises(ValueError, match=f"The argument {next(iter(bad))} must"):
        FanStep(**({"commanded_percent": 50, "measured": 1} | bad))


@pytest.mark.parametrize("steps", [None, [(20, 700)], "abc"])
def test_what_is_no_sweep_is_refused(steps):
    with pytest.raises(ValueError, match="The argument steps must be a row of FanStep"):
        assess_fan_sweep(steps=steps)


def loop(**more):
    figures = {
        "flow_l_per_min": 8.0,
        "inlet_c": 40.0,
        "outlet_c": 44.0,
        "signs": [],
        "uncertainty_l_per_min": 0.3,
        "uncertainty_k": 0.3,
        "flow_limits": [limit("minimum", 5.0, "l/min")],
        "rise_limits": [limit("maximum", 6.0, "K")],
    }
    return assess_coolant_loop(**(figures | more))


def test_a_loop_that_flows_clean_is_within():
    found = loop()
    assert found.verdict == "within"
    assert [finding.quantity for finding in found.findings] == ["coolant_flow", "coolant_rise", "coolant_contamination"]
    assert found.findings[1].value == 4.0


def test_a_pump_that_is_only_heard_proves_no_flow():
    found = loop(flow_l_per_min=None)
    assert (found.verdict, found.findings[0].reason, found.next_steps[0]) == (
        "unproven",
        "missing_flow",
        "measure_flow",
    )


@pytest.mark.parametrize("sign", ["water", "metal", "colour"])
def test_contamination_is_a_finding_of_its_own(sign):
    found = loop(signs=[sign])
    assert [finding.verdict for finding in found.findings] == ["within", "within", "outside"]
    assert found.findings[2].reason == sign
    assert sign in found.findings[2].explanation


def test_a_loop_that_nobody_looked_at_is_not_enough_data():
    found = loop(signs=None)
    assert (found.findings[2].reason, found.next_steps) == ("missing_look", ("look_at_coolant",))


def test_a_missing_temperature_leaves_the_rise_open():
    assert loop(outlet_c=None).findings[1].reason == "missing_temperature"


def test_each_of_flow_and_rise_has_a_limit_of_its_own():
    assert loop(flow_l_per_min=4.0).findings[0].verdict == "outside"
    assert loop(outlet_c=50.0).findings[1].verdict == "outside"
    assert loop(flow_limits=[]).findings[0].reason == "no_limit"


@pytest.mark.parametrize("bad", [{"flow_l_per_min": -1}, {"inlet_c": -300}, {"outlet_c": math.nan}, {"signs": "water"}])
def test_an_impossible_loop_is_refused(bad):
    with pytest.raises(ValueError, match=f"The argument {next(iter(bad))} must"):
        loop(**bad)
