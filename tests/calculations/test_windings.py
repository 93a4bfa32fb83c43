"""Windings against published examples (reference section 3), numpy.linalg.solve and numerical propagation."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diagnostics.calculations.verdicts import Limit, Verdict
from diagnostics.calculations.windings import (
    assess_windings,
    phase_resistances,
    resistance_at,
    temperature_from_resistance,
    unbalance_percent,
    unbalance_uncertainty_percent,
)

OHMS = st.floats(1e-3, 1e3)
PAIRS = [0.2450, 0.2472, 0.2515]  # reference example 3.4
TWO = Limit(kind="maximum", value=2.0, unit="%", source="maker's manual", authority="maker")
ROUND_250 = Limit(kind="range", value=0.2, upper=0.3, unit="ohm", source="maker's manual", authority="maker")


def assessed(**changed):
    values = {
        "pairs_ohm": [0.2950, 0.2972, 0.3015], "leads_ohm": 0.05, "measured_c": 20.0, "percent_of_reading": 0.5,
        "counts": 2, "resolution_ohm": 0.0001, "unbalance_limits": [TWO], "resistance_limits": [ROUND_250],
    }  # fmt: skip
    return assess_windings(**{**values, **changed})


@pytest.mark.parametrize(("k", "expected"), [(234.5, 0.121611), (235, 0.121569), (225, 0.122449)])
def test_resistance_is_referred_to_another_temperature(k, expected) -> None:
    # example 3.3: copper 234.5 (IEEE 112), copper 235 (IEC 60034-1), aluminium 225
    found = resistance_at(resistance_ohm=0.1, measured_c=20, reference_c=75, constant_k=k)
    assert found == pytest.approx(expected, abs=5e-7)


def test_temperature_is_found_from_resistance() -> None:
    # example 3.1, physicsforums 381286 (prints 83.63)
    assert temperature_from_resistance(cold_ohm=80, cold_c=20, hot_ohm=100) == pytest.approx(83.625)


def test_temperature_is_found_with_another_constant() -> None:
    # example 3.2, FOSSEE 2438/CH6/EX6.2: alpha0 = 0.00425 means k = 1 / alpha0; prints 65.06
    found = temperature_from_resistance(cold_ohm=50, cold_c=15, hot_ohm=60, constant_k=1 / 0.00425)
    assert found == pytest.approx(65.06, abs=0.005)


@settings(max_examples=50)
@given(ohm=OHMS, cold=st.floats(-40, 100), hot=st.floats(-40, 200))
def test_temperature_undoes_resistance(ohm, cold, hot) -> None:
    warm = resistance_at(resistance_ohm=ohm, measured_c=cold, reference_c=hot)
    assert temperature_from_resistance(cold_ohm=ohm, cold_c=cold, hot_ohm=warm) == pytest.approx(hot, abs=1e-6)


@settings(max_examples=50)
@given(a=OHMS, b=OHMS, c=OHMS)
def test_wye_phases_solve_the_three_equations(a, b, c) -> None:
    matrix = np.array([[1.0, 1.0, 0.0], [0.0, 1.0, 1.0], [1.0, 0.0, 1.0]])  # ab = a + b, bc = b + c, ca = c + a
    ab, bc, ca = matrix @ [a, b, c]
    found = phase_resistances(ab_ohm=ab, bc_ohm=bc, ca_ohm=ca)
    expected = np.linalg.solve(matrix, [ab, bc, ca])
    assert [found.a_ohm, found.b_ohm, found.c_ohm] == pytest.approx(list(expected), rel=1e-6, abs=1e-9)


def delta_pair(one: float, two: float, three: float) -> float:
    """A pair of a delta by the node equations: one ampere in at the first terminal, the second at zero volts."""
    g1, g2, g3 = 1 / one, 1 / two, 1 / three
    volts = np.linalg.solve(np.array([[g1 + g3, -g3], [-g3, g3 + g2]]), [1.0, 0.0])
    return float(volts[0])


@settings(max_examples=50)
@given(a=st.floats(0.1, 10), b=st.floats(0.1, 10), c=st.floats(0.1, 10))
def test_delta_phases_give_the_pairs_that_node_equations_give(a, b, c) -> None:
    ab, bc, ca = delta_pair(a, b, c), delta_pair(b, c, a), delta_pair(c, a, b)
    found = phase_resistances(ab_ohm=ab, bc_ohm=bc, ca_ohm=ca, connection="delta")
    assert [found.a_ohm, found.b_ohm, found.c_ohm] == pytest.approx([a, b, c], rel=1e-6)


def test_a_balanced_delta_has_one_and_a_half_times_the_pair() -> None:
    # kritester.com, as read: R_ph = 1.5 R_LL
    found = phase_resistances(ab_ohm=2, bc_ohm=2, ca_ohm=2, connection="delta")
    assert [found.a_ohm, found.b_ohm, found.c_ohm] == pytest.approx([3.0, 3.0, 3.0])


@pytest.mark.parametrize("connection", ["wye", "delta"])
def test_pairs_that_no_three_resistances_give_are_refused(connection) -> None:
    with pytest.raises(ValueError, match="bc_ohm"):
        phase_resistances(ab_ohm=1, bc_ohm=5, ca_ohm=1, connection=connection)


@pytest.mark.parametrize("kind", [list, tuple, np.array])
def test_unbalance_by_both_definitions(kind) -> None:
    # example 3.4
    assert unbalance_percent(values_ohm=kind(PAIRS)) == pytest.approx(1.452, abs=5e-4)
    assert unbalance_percent(values_ohm=kind(PAIRS), definition="spread") == pytest.approx(2.622, abs=5e-4)
    assert type(unbalance_percent(values_ohm=kind(PAIRS))) is float


@settings(max_examples=50)
@given(values=st.lists(OHMS, min_size=3, max_size=3), factor=st.floats(0.01, 100))
def test_unbalance_knows_neither_unit_nor_order(values, factor) -> None:
    plain = unbalance_percent(values_ohm=values)
    assert unbalance_percent(values_ohm=[v * factor for v in reversed(values)]) == pytest.approx(plain, abs=1e-9)


def test_the_uncertainty_of_unbalance_is_what_numerical_derivatives_give() -> None:
    # JCGM 100:2008, 5.1.2 (from memory), derivatives by central differences of the definition itself
    u, step = 3 * 0.0001, 1e-7
    slopes = []
    for i in range(3):
        up, down = (np.array(PAIRS) + sign * step * np.eye(3)[i] for sign in (1, -1))
        slopes.append((unbalance_percent(values_ohm=up) - unbalance_percent(values_ohm=down)) / (2 * step))
    found = unbalance_uncertainty_percent(values_ohm=PAIRS, percent_of_reading=2, counts=3, resolution_ohm=0.0001)
    assert found == pytest.approx(math.hypot(*slopes) * u, rel=1e-6)


def test_the_shared_gain_cancels_from_unbalance() -> None:
    poor = unbalance_uncertainty_percent(values_ohm=PAIRS, percent_of_reading=9, counts=2, resolution_ohm=1e-4)
    good = unbalance_uncertainty_percent(values_ohm=PAIRS, percent_of_reading=0, counts=2, resolution_ohm=1e-4)
    assert poor == good


@pytest.mark.parametrize("bad", [[0.1], [0.1, -0.1], [0.0, 0.0], [0.1, math.nan], "12", [0.1, None]])
def test_rows_that_can_t_be_are_refused(bad) -> None:
    with pytest.raises(ValueError, match="must"):
        unbalance_percent(values_ohm=bad)


def test_the_leads_are_taken_away_and_a_shorted_turn_is_not_excluded() -> None:
    found = assessed()
    assert found.findings[0].value == pytest.approx(1.452, abs=5e-4)  # example 3.4
    assert found.findings[1].value == pytest.approx(0.2479)
    assert found.verdict is Verdict.WITHIN and "shorted_turn_not_excluded" in found.next_steps


def test_the_mean_is_referred_to_20_degrees_and_unbalance_is_not_touched() -> None:
    warm, cool = assessed(measured_c=75.0), assessed()
    ratio = (234.5 + 20) / (234.5 + 75)  # IEEE 112 as quoted
    assert warm.findings[1].value == pytest.approx(cool.findings[1].value * ratio)
    assert warm.findings[0].value == cool.findings[0].value


@pytest.mark.parametrize(
    ("changed", "reason"),
    [
        ({"leads_ohm": None}, "missing_lead_resistance"),
        ({"leads_ohm": 0.4}, "missing_resistance_above_leads"),
        ({"pairs_ohm": [0.295, None, 0.3015]}, "missing"),
        ({"bounds": ["at_least", None, None]}, "missing_pair_out_of_range"),
        ({"counts": None}, "uncertainty_unknown"),
        ({"unbalance_limits": ()}, "no_limit"),
        ({"concerns": ["overdue_instrument"]}, "overdue_instrument"),
    ],
)
def test_what_unbalance_lacks_is_told(changed, reason) -> None:
    found = assessed(**changed)
    assert (found.findings[0].reason, found.verdict) == (reason, Verdict.UNPROVEN)


def test_without_a_temperature_the_mean_is_unproven_and_unbalance_is_judged() -> None:
    unbalance, mean = assessed(measured_c=None).findings
    assert unbalance.verdict is Verdict.WITHIN and mean.reason == "missing_temperature"


def test_an_open_winding_is_outside_the_maker_s_range() -> None:
    found = assessed(pairs_ohm=[0.295, 2000.0, 2000.0], bounds=[None, "at_least", "at_least"])
    assert found.verdict is Verdict.OUTSIDE and "look_for_open_winding" in found.next_steps


def test_without_a_maker_s_limit_the_record_is_not_enough_data() -> None:
    assert assessed(resistance_limits=()).verdict is Verdict.UNPROVEN
