"""The charge inlet: what is seen, what is measured dead, and the pilot that is measured live."""

import pytest

from diagnostics.calculations.charge_inlet import PILOT_LIMITS, assess_charge_inlet
from diagnostics.calculations.verdicts import Limit

# UN R100 5.1.2.2, as quoted: exposed conductive part to chassis under 0.1 ohm.
BONDING = Limit(kind="maximum", value=0.1, unit="ohm", source="UN R100 5.1.2.2", authority="standard")


def sensor(low, high):
    return Limit(kind="range", value=low, upper=high, unit="ohm", source="Lanner sheet 4", authority="maker")


def inlet(**more):
    figures = {
        "wear": [],
        "lock_holds": True,
        "sensors_ohm": {"pin_1": 1080.0, "pin_2": 1085.0},
        "earth_ohm": 0.03,
        "pilot_v": {"a": 12.0, "b": 9.0, "c": 6.0},
        "sensor_uncertainty_ohm": 5.0,
        "earth_uncertainty_ohm": 0.01,
        "pilot_uncertainty_v": 0.1,
        "sensor_limits": [sensor(1000.0, 1200.0)],
        "earth_limits": [BONDING],
        "pilot_limits": PILOT_LIMITS,
    }
    return assess_charge_inlet(**(figures | more))


def finding(found, quantity):
    return next(one for one in found.findings if one.quantity == quantity)


def test_a_good_inlet_is_within():
    found = inlet()
    assert (found.verdict, found.next_steps) == ("within", ())
    assert [one.quantity for one in found.findings] == [
        "inlet_wear",
        "inlet_lock",
        "inlet_sensor_pin_1",
        "inlet_sensor_pin_2",
        "inlet_earth",
        "pilot_state_a",
        "pilot_state_b",
        "pilot_state_c",
    ]


@pytest.mark.parametrize(("state", "nominal"), [("a", 12.0), ("b", 9.0), ("c", 6.0)])
def test_each_state_of_the_pilot_has_its_own_volts(state, nominal):
    # IEC 61851-1, from memory: 12, 9 and 6 V, each within 1 V; a standard resistor network gives 9 V of 12 by
    # 1 kohm against 2.74 kohm behind a diode of 0.7 V, from memory: 0.7 + 11.3 x 2740 / 3740 = 8.98 V.
    assert PILOT_LIMITS[state][0].value < nominal < PILOT_LIMITS[state][0].upper
    wrong = inlet(pilot_v={"a": 12.0, "b": 9.0, "c": 6.0} | {state: nominal - 1.5})
    assert [one.quantity for one in wrong.findings if one.verdict == "outside"] == [f"pilot_state_{state}"]


def test_the_pilots_volts_follow_from_the_resistors_of_the_standard():
    # IEC 61851-1, Annex A, from memory: 1 kohm in the supply, 2.74 kohm in the car, 1.3 kohm beside it in state C,
    # a diode of 0.7 V.
    connected = 0.7 + 11.3 * 2740 / (2740 + 1000)
    both = 2740 * 1300 / (2740 + 1300)
    charging = 0.7 + 11.3 * both / (both + 1000)
    assert inlet(pilot_v={"a": 12.0, "b": connected, "c": charging}).verdict == "within"


def test_the_ranges_of_the_pilot_count_only_once_somebody_gives_them():
    # Tagged from memory, hence a setting that is off until it was confirmed.
    found = inlet(pilot_limits=None)
    assert (found.verdict, finding(found, "pilot_state_a").reason) == ("unproven", "no_limit")


def test_a_melted_inlet_stops_everything():
    found = inlet(wear=["melted", "corrosion"])
    worn = finding(found, "inlet_wear")
    assert (worn.verdict, worn.reason, worn.value) == ("outside", "melted", 2.0)
    assert "melted, corrosion" in worn.explanation
    assert found.next_steps[0] == "stop_do_not_charge"


def test_a_lock_that_does_not_hold_is_outside_and_one_not_tried_unproven():
    assert finding(inlet(lock_holds=False), "inlet_lock").reason == "lock_does_not_hold"
    found = inlet(lock_holds=None)
    assert (finding(found, "inlet_lock").reason, found.next_steps) == ("missing_lock", ("try_lock",))


def test_an_inlet_that_nobody_looked_at_is_not_enough_data():
    found = inlet(wear=None)
    assert (found.verdict, found.next_steps) == ("unproven", ("look_at_inlet",))


def test_a_sensor_that_is_open_or_off_is_told_by_its_name():
    assert finding(inlet(sensors_ohm={"pin_1": 1080.0, "pin_2": 1500.0}), "inlet_sensor_pin_2").verdict == "outside"
    assert finding(inlet(sensors_ohm={"pin_1": None}), "inlet_sensor_pin_1").reason == "missing"


def test_of_the_earth_the_strictest_limit_counts_whoever_gives_it():
    # records.md: a maker never loosens what law demands.
    loose = Limit(kind="maximum", value=1.0, unit="ohm", source="Lanner sheet 4", authority="maker")
    assert finding(inlet(earth_ohm=0.5, earth_limits=[loose, BONDING]), "inlet_earth").verdict == "outside"
    assert finding(inlet(earth_ohm=0.095), "inlet_earth").reason == "touches_limit"


def test_concerns_of_the_dead_and_of_the_live_part_stay_apart():
    dead = inlet(concerns=["wrong_state"])
    assert {one.quantity for one in dead.findings if one.verdict == "within"} == {
        "pilot_state_a",
        "pilot_state_b",
        "pilot_state_c",
    }
    live = inlet(live_concerns=["wrong_state"])
    assert {one.quantity for one in live.findings if one.reason == "wrong_state"} == {
        "pilot_state_a",
        "pilot_state_b",
        "pilot_state_c",
    }


def test_a_state_that_was_not_read_is_missing():
    assert finding(inlet(pilot_v={"a": 12.0}), "pilot_state_c").reason == "missing"


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        ({"pilot_v": {"d": 3.0}}, "pilot_v"),
        ({"earth_ohm": -0.1}, "inlet_earth"),
        ({"sensors_ohm": {"pin_1": -5}}, "inlet_sensor_pin_1"),
        ({"wear": "melted"}, "signs"),
    ],
)
def test_impossible_inlets_are_refused(bad, says):
    with pytest.raises(ValueError, match=f"The argument {says} must"):
        inlet(**bad)
