"""Load runs: an exponential warming, in closed form, tells what has settled and what still climbs."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnostics.calculations.thermal import assess_load_run
from diagnostics.calculations.verdicts import Limit

MAXIMUM = Limit(kind="maximum", value=45.0, unit="K", source="Lanner sheet 9", authority="maker")


def run(final_k, constants, count=121, **more):
    """A device that warms by final_k (1 - exp(-t / tau)) above 40 C coolant, over so many time constants."""
    seconds = np.linspace(0.0, 1200.0, count)
    device = 40.0 + final_k * (1.0 - np.exp(-constants * seconds / 1200.0))
    figures = {"uncertainty_k": 1.0, "limits": [MAXIMUM]} | more
    return assess_load_run(times_s=seconds, inlet_c=np.full(count, 40.0), device_c=device, **figures)


def test_a_device_that_settled_below_the_limit_is_within():
    # Six time constants: 99.75 % of the final rise.
    found = run(30.0, 6.0)
    assert found.verdict == "within"
    assert found.findings[0].value == pytest.approx(30.0 * (1 - math.exp(-6)))


def test_the_uncertainty_is_that_of_two_temperatures():
    # GUM 5.1.2, from memory: sqrt(1 + 1).
    assert run(30.0, 6.0).findings[0].uncertainty == pytest.approx(math.sqrt(2))


def test_a_device_that_still_climbs_below_the_limit_is_not_enough_data():
    found = run(60.0, 1.0)
    finding = found.findings[0]
    assert finding.value == pytest.approx(60.0 * (1 - math.exp(-1)))  # 37.9 K, and on its way to 60
    assert (found.verdict, finding.reason) == ("unproven", "still_climbing")
    assert found.next_steps == ("run_until_temperature_settles",)
    assert "still climbing" in finding.explanation


def test_a_device_beyond_the_limit_is_outside_although_it_still_climbs():
    assert run(100.0, 1.0).verdict == "outside"


def test_a_device_that_settled_beyond_the_limit_is_outside():
    assert run(60.0, 6.0).verdict == "outside"


def test_the_highest_rise_counts_although_it_fell_again():
    rise = [10, 20, 30, 55, 30, 30, 30, 30, 30, 30, 30, 30]
    found = assess_load_run(
        times_s=range_of(12), inlet_c=[40] * 12, device_c=[40 + one for one in rise], uncertainty_k=1, limits=[MAXIMUM]
    )
    assert (found.verdict, found.findings[0].value) == ("outside", 55.0)


def range_of(count):
    return [60.0 * one for one in range(count)]


@settings(max_examples=60)
@given(st.floats(5, 40), st.floats(4, 12))
def test_what_is_called_settled_had_hardly_anything_left_to_climb(final_k, constants):
    found = run(final_k, constants, settled_k=0.5)
    left = final_k * math.exp(-constants)
    if found.findings[0].reason != "still_climbing":
        assert left < 0.5
    # The line through the last quarter climbs about as much as the exponential itself does there.
    climb = final_k * (math.exp(-0.75 * constants) - math.exp(-constants))
    assert (found.findings[0].bound == "at_least") == (climb > 0.5) or climb == pytest.approx(0.5, rel=0.2)


def test_a_run_with_too_few_samples_at_its_end_is_not_enough_data():
    found = run(30.0, 6.0, count=6)
    assert (found.findings[0].reason, found.next_steps) == ("run_too_short", ("run_until_temperature_settles",))


def test_without_samples_or_limit_or_accuracy_there_is_not_enough_data():
    assert assess_load_run(times_s=[], inlet_c=[], device_c=[], limits=[MAXIMUM]).findings[0].reason == "missing"
    assert run(30.0, 6.0, limits=[]).findings[0].reason == "no_limit"
    assert run(30.0, 6.0, uncertainty_k=None).findings[0].reason == "uncertainty_unknown"


@pytest.mark.parametrize("kind", [list, tuple, np.array])
def test_rows_of_any_kind_are_understood(kind):
    rows = {"times_s": kind(range_of(12)), "inlet_c": kind([40.0] * 12), "device_c": kind([60.0] * 12)}
    assert assess_load_run(**rows, uncertainty_k=1.0, limits=[MAXIMUM]).verdict == "within"


@pytest.mark.parametrize(
    ("name", "row"),
    [
        ("times_s", [0, 2, 1]),
        ("inlet_c", [40, 40]),
        ("device_c", [40, -300, 40]),
        ("device_c", [40, math.nan, 40]),
        ("settled_k", 0),
    ],
)
def test_an_impossible_run_is_refused(name, row):
    rows = {"times_s": [0, 1, 2], "inlet_c": [40, 40, 40], "device_c": [50, 50, 50]}
    with pytest.raises(ValueError, match=f"The arguments? .*{name} .*must"):
        assess_load_run(**(rows | {name: row}))
