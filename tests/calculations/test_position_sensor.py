"""Position sensor: arithmetic and numerical propagation; its limits are the maker's."""

import math

import pytest

from diagnostics.calculations.position_sensor import assess_position_sensor, difference_percent
from diagnostics.calculations.verdicts import Limit, Verdict

COILS = {"exciter": 12.0, "sine": 30.0, "cosine": 31.0}


def maker(kind, value, unit, upper=None) -> Limit:
    return Limit(kind=kind, value=value, unit=unit, source="maker's manual", authority="maker", upper=upper)


def assessed(**changed):
    values = {
        "coils_ohm": COILS, "percent_of_reading": 0.5, "counts": 2, "resolution_ohm": 0.01,
        "coil_limits": {name: [maker("range", 8.0, "ohm", 50.0)] for name in COILS},
        "difference_limits": [maker("maximum", 10.0, "%")],
        "to_body_megohm": dict.fromkeys(COILS, 550.0), "to_body_bounds": dict.fromkeys(COILS, "at_least"),
        "to_body_uncertainty_percent": 3.0, "to_body_limits": [maker("minimum", 10.0, "megohm")],
    }  # fmt: skip
    return assess_position_sensor(**{**values, **changed})


def test_all_good_is_within_and_the_offset_has_to_be_learnt() -> None:
    found = assessed()
    assert found.verdict is Verdict.WITHIN and found.next_steps == ("learn_offset_after_fitting",)


def test_the_uncertainty_of_the_difference_is_what_numerical_derivatives_give() -> None:
    # JCGM 100:2008, 5.1.2 (from memory), central differences
    u, step = 0.02, 1e-5
    slopes = [
        (
            difference_percent(sine_ohm=30 + a, cosine_ohm=31 + b)
            - difference_percent(sine_ohm=30 - a, cosine_ohm=31 - b)
        )
        / (2 * step)
        for a, b in ((step, 0), (0, step))
    ]
    assert assessed().findings[3].uncertainty == pytest.approx(math.hypot(*slopes) * u, rel=1e-5)


@pytest.mark.parametrize(
    "changed",
    [
        {"coils_ohm": {"sine": 30.0, "cosine": 31.0}}, {"coil_limits": {}}, {"difference_limits": ()},
        {"to_body_megohm": {}}, {"to_body_limits": ()}, {"to_body_uncertainty_percent": None}, {"counts": None},
        {"concerns": ["stale"]},
    ],
)  # fmt: skip
def test_what_is_lacking_makes_it_not_enough_data(changed) -> None:
    assert assessed(**changed).verdict is Verdict.UNPROVEN


@pytest.mark.parametrize(
    "changed",
    [
        {"coils_ohm": {**COILS, "sine": 40.0}},
        {"coils_ohm": {**COILS, "sine": 2000.0}, "coil_bounds": {"sine": "at_least"}},
        {"to_body_megohm": dict.fromkeys(COILS, 1.0), "to_body_bounds": None},
    ],
)
def test_an_unequal_an_open_or_a_leaking_coil_is_outside(changed) -> None:
    assert assessed(**changed).verdict is Verdict.OUTSIDE


def test_a_coil_that_no_sensor_has_is_refused() -> None:
    with pytest.raises(ValueError, match="'tangent'"):
        assessed(coils_ohm={"tangent": 1.0})
