"""A reading among others: against scipy, Python's own statistics, and the published formula."""

import statistics

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from diagnostics.calculations.reference import robust_score, standing_among

rows = st.lists(st.floats(-1e6, 1e6, allow_subnormal=False), min_size=3, max_size=40)


@given(rows, st.floats(-1e6, 1e6, allow_subnormal=False))
def test_the_score_is_the_distance_in_normal_mads(row: list[float], value: float) -> None:
    # Iglewicz and Hoaglin 1993 (from memory): 0.6745 (x - median) / MAD; scipy scales MAD by 1 / 0.67449.
    mad = stats.median_abs_deviation(row, scale="normal")
    score = robust_score(value=value, others=row)
    if mad < 1e-9:
        return
    assert score == pytest.approx((value - statistics.median(row)) / mad, rel=2e-5, abs=1e-9)


@given(rows)
def test_quarters_are_those_of_pythons_statistics(row: list[float]) -> None:
    found = standing_among(value=0.0, others=row)
    quarters = statistics.quantiles(row, n=4, method="inclusive")
    assert (found.lower_quarter, found.median, found.upper_quarter) == pytest.approx(quarters, abs=1e-6)
    assert found.lowest <= found.lower_quarter <= found.median <= found.upper_quarter <= found.highest


@given(rows, st.floats(0.5, 2.0), st.floats(-100, 100))
def test_the_score_knows_no_unit_and_no_zero(row: list[float], scale: float, shift: float) -> None:
    row = [round(x, 3) for x in row]
    first = robust_score(value=5.0, others=row)
    moved = robust_score(value=5.0 * scale + shift, others=[x * scale + shift for x in row])
    if first is not None and stats.median_abs_deviation(row) > 1e-2:
        assert moved == pytest.approx(first, rel=1e-5, abs=1e-6)


def test_in_a_normal_sample_the_score_is_the_plain_one() -> None:
    sample = np.random.default_rng(2611).normal(92.0, 1.5, 20_001)
    assert robust_score(value=95.0, others=sample) == pytest.approx(stats.zscore(np.append(sample, 95.0))[-1], rel=0.03)


def test_others_that_are_all_alike_give_no_score_but_for_the_instruments_own_spread() -> None:
    assert robust_score(value=5.0, others=[4.0] * 6) is None
    assert robust_score(value=5.0, others=[4.0] * 6, smallest_spread=0.6745) == pytest.approx(1.0)


def test_two_others_have_a_median_and_no_score() -> None:
    found = standing_among(value=9.0, others=[1.0, 3.0])
    assert (found.median, found.score, found.is_far) == (2.0, None, False)


def test_no_others_are_refused() -> None:
    with pytest.raises(ValueError, match="others"):
        standing_among(value=9.0, others=[])
