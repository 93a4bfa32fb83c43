"""Ways compared: expected totals against published worked examples of expected cost, and one reckoned by hand."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from parts.ways import Comeback, Way, compare_ways

NONE = Decimal(0)


def known(chance: float, low: float | None = None, high: float | None = None) -> Comeback:
    return Comeback(
        chance=chance,
        low=chance if low is None else low,
        high=chance if high is None else high,
        repairs=40,
        workshops=9,
    )


def way(kind: str, landed: str, days: int = 0, comeback: Comeback | None = None, again: str | None = None) -> Way:
    cost = None if again is None else Decimal(again)
    return Way(
        kind=kind, label=kind, landed=Decimal(landed), days_off_road=days, comeback=comeback, cost_of_comeback=cost
    )


def test_a_published_example_of_a_maintenance_contract() -> None:
    # algebra.com, question 1171280: a contract for 130 dollars, or a repair of 320 with a chance of 23 %: without the
    # contract 73.60 is to be expected, with it 56.40 more.
    told = compare_ways(
        ways=[way("contract", "130", comeback=known(0.0)), way("without", "0", comeback=known(0.23), again="320")],
        cost_per_day=NONE,
    )
    assert [(row.way.kind, row.expected) for row in told.rows] == [
        ("without", Decimal("73.60")),
        ("contract", Decimal("130.00")),
    ]
    assert told.rows[1].expected - told.rows[0].expected == Decimal("56.40")  # type: ignore[operator]


def test_a_published_example_of_a_valve_left_repaired_or_replaced() -> None:
    # A textbook exercise on the valve of a dam (found at solutioninn.com, "A decision has been made to perform certain
    # repairs on the outlet works of a small dam"; the answer is to repair). Seats, stem and body fail with the chances
    # below and cost 10, 20 and 30 thousand: 28, 26 and 30 thousand are to be expected.
    chances = {"leave": (0.6, 0.5, 0.4), "repair": (0.4, 0.3, 0.2), "replace": (0.3, 0.2, 0.1)}
    first = {"leave": 0, "repair": 10, "replace": 20}
    totals = {}
    for kind, of_each in chances.items():
        costs = [
            compare_ways(ways=[way(kind, "0", comeback=known(p), again=cost)], cost_per_day=NONE).rows[0].expected
            for p, cost in zip(of_each, ("10", "20", "30"), strict=True)
        ]
        totals[kind] = first[kind] + sum(cost for cost in costs if cost is not None)
    assert totals == {"leave": 28, "repair": 26, "replace": 30}


def test_an_inverter_reckoned_by_hand() -> None:
    # By hand, with the formula once + p * (once again), a day at 45:
    # used nearby: 340 + 72.50 + 3 * 45 = 547.50; a comeback in 30 of 100: 547.50 * 1.30 = 711.75
    # revised from afar: 1090 + 58 + 9 * 45 = 1553; in 5 of 100: 1553 * 1.05 = 1630.65
    # board repair: 215 + 6 * 45 = 485; in 48 of 100: 485 * 1.48 = 717.80
    told = compare_ways(
        ways=[
            way("revised", "1148", 9, known(0.05, 0.02, 0.12)),
            way("used", "412.50", 3, known(0.30, 0.14, 0.53)),
            way("board", "215", 6, known(0.48, 0.37, 0.60)),
        ],
        cost_per_day=Decimal(45),
    )
    assert [(row.way.kind, str(row.once), str(row.expected)) for row in told.rows] == [
        ("used", "547.50", "711.75"),
        ("board", "485.00", "717.80"),
        ("revised", "1553.00", "1630.65"),
    ]
    assert (str(told.rows[0].low), str(told.rows[0].high)) == ("624.15", "837.68")  # 547.5 * 1.14, * 1.53 = 837.675
    assert told.tells == "overlap"


def test_it_is_clear_only_where_the_intervals_do_not_meet() -> None:
    cheap, dear = (
        way("cheap", "100", comeback=known(0.1, 0.05, 0.2)),
        way("dear", "400", comeback=known(0.1, 0.05, 0.2)),
    )
    assert compare_ways(ways=[cheap, dear], cost_per_day=NONE).tells == "clear"


def test_without_numbers_there_is_no_expected_total_and_it_says_so() -> None:
    told = compare_ways(ways=[way("wait", "10", 30), way("used", "400", 2, known(0.2))], cost_per_day=Decimal(50))
    assert [(row.way.kind, row.expected) for row in told.rows] == [("used", Decimal("600.00")), ("wait", None)]
    assert told.tells == "too_few" and told.best and told.best.way.kind == "used"
    assert told.rows[1].once == Decimal("1510.00")


@given(
    landed=st.decimals(0, 100_000, places=2), days=st.integers(0, 400), chance=st.floats(0, 1),
    day=st.decimals(0, 1000, places=2),
)  # fmt: skip
def test_the_expected_total_lies_between_once_and_twice(
    landed: Decimal, days: int, chance: float, day: Decimal
) -> None:
    only = compare_ways(
        ways=[Way(kind="a", label="a", landed=landed, days_off_road=days, comeback=known(chance))], cost_per_day=day
    ).rows[0]
    assert only.expected is not None and only.once <= only.expected <= 2 * only.once


@pytest.mark.parametrize(
    "wrong",
    [
        way("a", "-1"), way("a", "NaN"), way("a", "1", -1), way("a", "1", 1, known(1.5)),
        way("a", "1", 1, known(0.5, 0.6, 0.7)),
    ],
)  # fmt: skip
def test_what_can_not_be_is_refused(wrong: Way) -> None:
    with pytest.raises(ValueError, match="must"):
        compare_ways(ways=[wrong], cost_per_day=NONE)
