"""Bonding against UN R100 5.1.2.2 as quoted: below 0.1 ohm at 0.2 A or more."""

import pytest

from diagnostics.calculations.bonding import assess_bonding
from diagnostics.calculations.verdicts import Limit, Verdict


def assessed(*bonds, **changed):
    values = {
        "bonds_ohm": list(bonds), "null_ohm": 0.05, "test_current_a": 0.2, "percent_of_reading": 1.0, "counts": 3,
        "resolution_ohm": 0.001,
    }  # fmt: skip
    return assess_bonding(**{**values, **changed})


@pytest.mark.parametrize(("reading", "expected"), [(0.06, "within"), (0.15, "unproven"), (0.19, "outside")])
def test_the_null_is_taken_away_before_judging(reading, expected) -> None:
    assert assessed(reading).verdict == expected


@pytest.mark.parametrize(
    ("changed", "reason"),
    [
        ({"null_ohm": None}, "missing_null"),
        ({"test_current_a": None}, "missing_test_current"),
        ({"test_current_a": 0.19}, "test_current_too_low"),
        ({"null_ohm": 0.09}, "reading_below_null"),
        ({"resolution_ohm": None}, "uncertainty_unknown"),
        ({"concerns": ["stale"]}, "stale"),
    ],
)
def test_what_a_bond_lacks_is_told(changed, reason) -> None:
    found = assessed(0.06, **changed)
    assert (found.verdict, found.findings[0].reason) == (Verdict.UNPROVEN, reason)


def test_a_maker_s_limit_tightens_and_never_loosens() -> None:
    strict, loose = (
        Limit(kind="maximum", value=v, unit="ohm", source="maker's manual", authority="maker") for v in (0.01, 1.0)
    )
    assert assessed(0.08, limits=[strict]).verdict is Verdict.OUTSIDE
    assert assessed(0.19, limits=[loose]).verdict is Verdict.OUTSIDE


def test_bounds_are_readings() -> None:
    found = assessed(0.01, 100.0, null_ohm=0.0, bounds=["at_most", "at_least"])
    assert [finding.verdict for finding in found.findings] == [Verdict.WITHIN, Verdict.OUTSIDE]


def test_nothing_measured_is_not_enough_data() -> None:
    assert assessed().verdict is Verdict.UNPROVEN
    assert assessed(0.06, None).verdict is Verdict.UNPROVEN


def test_the_interlock_loop_has_no_published_limit() -> None:
    loop = Limit(kind="maximum", value=5.0, unit="ohm", source="maker's manual", authority="maker")
    assert assessed(0.06, loop_ohm=1.0).findings[1].reason == "no_limit"
    assert assessed(0.06, loop_ohm=1.0, loop_limits=[loop]).verdict is Verdict.WITHIN
    assert assessed(0.06, loop_ohm=1e6, loop_bound="at_least", loop_limits=[loop]).verdict is Verdict.OUTSIDE
