"""Offers on shared axes: lengths against numpy's, weekends against the calendar."""

import re
from datetime import date

import numpy as np
import pytest

from diagnostics.charts import comparison
from tests.look.drawing import strokes

OFFER = comparison.Offer
LEAVES = date(2026, 11, 25)  # a Wednesday


@pytest.fixture
def compared():
    return comparison.build(
        offers=[
            OFFER(goods=340.0, carriage=72.5, leaves=[LEAVES], arrives=date(2026, 12, 2)),
            OFFER(goods=1090.0, carriage=58.0, leaves=[LEAVES], arrives=date(2026, 12, 1)),
            OFFER(goods=650.0, carriage=0.0),
        ]
    )


def test_bars_share_one_axis_of_cost(compared):
    scaled = np.array([340.0, 1090.0, 650.0]) / (1148.0 * 1.02) * comparison.COST_WIDTH
    assert [row.solid for row in compared.rows] == pytest.approx(scaled, abs=0.01)
    assert compared.rows[0].carriage == pytest.approx(72.5 / (1148 * 1.02) * comparison.COST_WIDTH, abs=0.02)


def test_the_cheapest_and_the_first_are_found(compared):
    assert [row.cheapest for row in compared.rows] == [True, False, False]
    assert [row.first for row in compared.rows] == [False, True, False]


def test_lines_run_from_departure_to_arrival_on_one_axis_of_days(compared):
    ((start, _, end, _),) = strokes(compared.rows[1].way)
    # Seven days from 25 November to 2 December; the second offer arrives on the sixth.
    assert (start, end) == pytest.approx(np.interp([0, 6], [0, 7], [8, 218]), abs=0.01)


def test_weekends_are_shaded(compared):
    # Calendar: 28 November 2026 is a Saturday, three days after the first departure; the Sunday follows.
    assert date(2026, 11, 28).weekday() == 5
    lefts = [float(x) for x in re.findall(r"M([\d.]+) ", compared.rows[0].weekends)]
    assert lefts == pytest.approx(np.interp([2.5, 3.5], [0, 7], [8, 218]), abs=0.01)


def test_an_offer_without_a_day_has_no_line(compared):
    assert (compared.rows[2].way, compared.rows[2].arrives, compared.rows[2].stops) == ("", "", ())


def test_nothing_to_compare_is_no_error():
    assert comparison.build(offers=[]).rows == ()
