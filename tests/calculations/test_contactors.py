"""Contactors: a welded one is a reason to stop (common practice, no source); limits are the maker's."""

import pytest

from diagnostics.calculations.contactors import ContactorReadings, assess_contactors
from diagnostics.calculations.verdicts import Limit, Verdict


def maker(kind, value, unit="ohm", upper=None) -> Limit:
    return Limit(kind=kind, value=value, unit=unit, source="maker's manual", authority="maker", upper=upper)


def assessed(open_ohm, open_bound=None, **changed):
    one = ContactorReadings(
        name="positive", coil_ohm=35.0, open_ohm=open_ohm, open_bound=open_bound, closed_ohm=0.01,
        closed_bound="at_most",
    )  # fmt: skip
    values = {
        "contactors": [one], "precharge_ohm": 40.0, "rise_time_s": 0.2, "rise_time_uncertainty_s": 0.01,
        "percent_of_reading": 0.5, "counts": 2, "resolution_ohm": 0.01,
        "coil_limits": [maker("range", 20.0, upper=60.0)], "closed_limits": [maker("maximum", 0.1)],
        "precharge_limits": [maker("range", 15.0, upper=50.0)], "rise_time_limits": [maker("maximum", 0.5, "s")],
    }  # fmt: skip
    return assess_contactors(**{**values, **changed})


def test_an_open_contact_beyond_the_display_is_within() -> None:
    assert assessed(4e7, "at_least").verdict is Verdict.WITHIN


@pytest.mark.parametrize("bound", [None, "at_most"])
def test_a_welded_contact_is_outside_and_stops_the_work(bound) -> None:
    found = assessed(0.02, bound)
    assert found.verdict is Verdict.OUTSIDE and found.next_steps[0] == "stop_contact_welded"


@pytest.mark.parametrize("changed", [{"concerns": ["overdue_instrument"]}, {"counts": None}])
def test_the_stop_does_not_wait_for_proof(changed) -> None:
    found = assessed(0.02, **changed)
    assert found.findings[1].verdict is Verdict.UNPROVEN and found.next_steps[0] == "stop_contact_welded"


def test_no_limit_given_makes_a_welded_contact_good() -> None:
    assert assessed(0.02, open_limits=[maker("minimum", 0.001)]).verdict is Verdict.OUTSIDE


def test_a_figure_above_the_floor_needs_the_maker_s_limit() -> None:
    assert assessed(500.0).findings[1].reason == "open_contact_conducts"
    assert assessed(500.0, open_limits=[maker("minimum", 1e6)]).verdict is Verdict.OUTSIDE
    assert assessed(5e6, open_limits=[maker("minimum", 1e6)]).verdict is Verdict.WITHIN


@pytest.mark.parametrize("changed", [{"precharge_ohm": None}, {"rise_time_s": None}, {"coil_limits": ()},
                                     {"closed_limits": ()}, {"rise_time_uncertainty_s": None}])  # fmt: skip
def test_what_is_lacking_makes_it_not_enough_data(changed) -> None:
    assert assessed(4e7, "at_least", **changed).verdict is Verdict.UNPROVEN


def test_a_broken_coil_and_a_slow_precharge_are_outside() -> None:
    assert assessed(4e7, "at_least", rise_time_s=0.9).verdict is Verdict.OUTSIDE
    assert assessed(4e7, "at_least", precharge_ohm=90.0).verdict is Verdict.OUTSIDE
