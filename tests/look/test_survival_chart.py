"""The drawn curve of lasting repairs against lifelines' estimate of an open data set."""

from itertools import pairwise

import numpy as np
import pytest
from lifelines import KaplanMeierFitter
from lifelines.datasets import load_waltons

from diagnostics.charts import survival
from tests.look.drawing import corners, strokes


@pytest.fixture(scope="module")
def fitted():
    # The "waltons" data set that lifelines carries: times and events of 163 subjects.
    data = load_waltons()
    return KaplanMeierFitter().fit(data["T"], data["E"])


@pytest.fixture(scope="module")
def chart(fitted):
    times = fitted.survival_function_.index.to_numpy()
    bounds = fitted.confidence_interval_.to_numpy()
    group = survival.Group(
        label="All",
        months=list(times),
        survival=list(fitted.survival_function_.iloc[:, 0]),
        lower=list(bounds[:, 0]),
        upper=list(bounds[:, 1]),
        last_seen=[7.0, 60.0],
        at_risk=[163, 150, 60, 20],
        at=float(fitted.predict(48)),
        at_low=0.4,
        at_high=0.8,
    )
    return survival.build(key="k", title="t", groups=[group, group], months=[0, 24, 54, 72], horizon=48)


def height_at(points, x):
    """Of a stair, the level at a place between two corners."""
    return next(ay for (ax, ay), (bx, _) in pairwise(points) if ax <= x < bx)


@pytest.mark.parametrize("month", [3.5, 20.5, 33.5, 48.5, 60.5, 70.5])
def test_the_steps_stand_where_lifelines_puts_them(chart, fitted, month):
    d = chart.wide
    x = np.interp(month, [0, 72], [d.left, d.right])
    expected = np.interp(float(fitted.predict(month)), [0, 1], [d.bottom, d.top])
    assert height_at(corners(d.curves[0].steps), x) == pytest.approx(expected, abs=0.01)


def test_the_dot_stands_at_the_horizon_and_the_whisker_spans_the_interval(chart, fitted):
    d, first = chart.wide, chart.wide.curves[0]
    assert first.x == pytest.approx(np.interp(48, [0, 72], [d.left, d.right]), abs=0.01)
    assert first.y == pytest.approx(np.interp(float(fitted.predict(48)), [0, 1], [d.bottom, d.top]), abs=0.01)
    _, low, _, high = strokes(first.whisker)[0]
    assert (low, high) == pytest.approx(np.interp([0.4, 0.8], [0, 1], [d.bottom, d.top]), abs=0.01)


def test_the_second_band_is_ruled_and_the_first_tinted(chart):
    first, second = chart.wide.curves
    assert bool(first.band) and not first.band_lines
    assert bool(second.band_lines) and not second.band


def test_the_table_counts_every_hundred_as_lifelines_does(chart, fitted):
    # Month 54 is one of failures: the figure there is that after them.
    found = {month: share for _, month, _, share, _, _ in chart.rows}
    assert found == {month: round(100 * float(fitted.predict(month))) for month in (0, 24, 54, 72)}


def test_small_strokes_stand_on_the_curve_where_somebody_was_last_seen(chart):
    d = chart.wide
    drawn = [x for x, *_ in strokes(d.curves[0].seen)]
    assert drawn == pytest.approx(np.interp([7, 60], [0, 72], [d.left, d.right]), abs=0.01)
