"""The 12 V supply: the battery comes first, and smart control hides the rest."""

import math

import pytest

from diagnostics.calculations.dc_supply import QUANTITIES, assess_dc_supply
from diagnostics.calculations.verdicts import Limit


def limit(kind, value, upper=None):
    return [Limit(kind=kind, value=value, upper=upper, unit="V", source="Lanner sheet 3", authority="maker")]


def supply(**more):
    """A good car: figures from memory, common practice, no source (13.5 to 14.8 V, bad under 13.0)."""
    figures = {
        "rest_v": 12.6,
        "idle_v": 14.2,
        "loaded_v": 13.8,
        "load_a": 60.0,
        "uncertainties_v": dict.fromkeys(QUANTITIES, 0.05),
        "limits": {
            "rest": limit("minimum", 12.2),
            "idle": limit("range", 13.5, 14.8),
            "loaded": limit("minimum", 13.0),
            "lead_drop": limit("maximum", 0.3),
        },
        "lead_drop_v": 0.1,
    }
    return assess_dc_supply(**(figures | more))


def test_a_good_supply_is_within():
    found = supply()
    assert (found.verdict, found.next_steps) == ("within", ())
    assert [one.quantity for one in found.findings] == [
        "supply_rest",
        "supply_idle",
        "supply_loaded",
        "supply_lead_drop",
    ]


@pytest.mark.parametrize("rest", [11.4, 12.22, None])
def test_nothing_is_proved_about_the_converter_before_the_battery_is(rest):
    found = supply(rest_v=rest)
    assert found.findings[0].verdict != "within"
    assert {finding.reason for finding in found.findings[1:]} == {"battery_first"}
    assert found.next_steps[0] == "test_12v_battery_first"


def test_a_low_supply_under_load_is_outside():
    assert supply(loaded_v=12.4).findings[2].verdict == "outside"


def test_smart_control_may_hold_the_idle_voltage_low_on_purpose():
    found = supply(idle_v=12.8, smart_control=True)
    assert [finding.verdict for finding in found.findings] == ["within", "unproven", "within", "within"]
    assert (found.findings[1].reason, found.next_steps) == ("smart_control", ("measure_under_load",))
    assert supply(idle_v=12.8).findings[1].verdict == "outside"


def test_a_load_of_unknown_current_proves_nothing():
    found = supply(load_a=None)
    assert (found.findings[2].reason, found.next_steps) == ("missing_load_current", ("measure_load_current",))


def test_drop_and_ripple_are_asked_for_only_where_there_is_a_reading_or_a_limit():
    assert supply(lead_drop_v=None).findings[3].reason == "missing"
    assert supply(ripple_v=0.02).findings[4].reason == "no_limit"
    assert len(supply(lead_drop_v=None, limits={}).findings) == 3


def test_without_accuracy_there_is_not_enough_data():
    assert supply(uncertainties_v=None).findings[0].reason == "uncertainty_unknown"


def test_a_concern_of_the_record_reaches_every_voltage():
    found = supply(concerns=["overdue_instrument"])
    assert found.verdict == "unproven"
    assert all("overdue_instrument" in finding.concerns for finding in found.findings)


@pytest.mark.parametrize(
    ("bad", "name"),
    [
        ({"rest_v": -1}, "rest_v"),
        ({"loaded_v": math.nan}, "loaded_v"),
        ({"load_a": -5}, "load_a"),
        ({"ripple_v": -0.1}, "ripple_v"),
        ({"limits": {"idel": []}}, "limits"),
        ({"uncertainties_v": {"loaded_v": 0.1}}, "uncertainties_v"),
    ],
)
def test_impossible_readings_and_unknown_names_are_refused(bad, name):
    with pytest.raises(ValueError, match=f"The argument {name} must"):
        supply(**bad)
