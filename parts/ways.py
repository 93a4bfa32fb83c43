"""Ways to mend one failure, compared by what each is expected to cost: plain figures in, plain figures out.

The chance of a comeback is an argument (`jobs/lasting.py` knows it); this module asks no database.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal

CENT = Decimal("0.01")


@dataclass(frozen=True, kw_only=True)
class Comeback:
    """What the network knows of a way: the chance that it comes back within 24 months.

    Fields:
        chance, low, high [-], scalars: 0 to 1, the estimate and the ends of its 95 % interval.
        repairs [-], whole number: how many repairs stand behind it.
        workshops [-], whole number: of how many workshops.
    """

    chance: float
    low: float
    high: float
    repairs: int
    workshops: int


@dataclass(frozen=True, kw_only=True)
class Way:
    """One way to mend the failure.

    Fields:
        kind [-], text: its code; label: its name on the page.
        landed [money]: what the part or the repair costs here: price, freight, and duty and tax where they are known.
        labour [money]: the own work, once.
        days_off_road [days]: until the car is back with its owner.
        comeback: what the network knows of such repairs, or None where it knows too little.
        cost_of_comeback [money] or None: what it costs when it comes back; None: all of it once more.
    """

    kind: str
    label: str
    landed: Decimal
    days_off_road: int
    comeback: Comeback | None
    labour: Decimal = Decimal(0)
    cost_of_comeback: Decimal | None = None


@dataclass(frozen=True, kw_only=True)
class Row:
    """A way with its figures, money in the currency that went in, to the cent.

    Fields:
        off_road [money]: days off the road at the cost of a day.
        once [money]: landed cost, labour and days off the road, if nothing comes back.
        if_it_comes_back [money]: what a comeback costs.
        expected, low, high [money] or None: with the chance of a comeback and with the ends of its interval; None
            where the network knows too little.
    """

    way: Way
    off_road: Decimal
    once: Decimal
    if_it_comes_back: Decimal
    expected: Decimal | None
    low: Decimal | None
    high: Decimal | None


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """The ways, cheapest expected total first; those the network knows too little of after them, cheapest first.

    `tells` is "clear" where the first is cheapest whatever the chances within their intervals are, "overlap" where
    the intervals meet, and "too_few" where a way has no figure or there is nothing to compare.
    """

    rows: tuple[Row, ...]
    tells: Literal["clear", "overlap", "too_few"]

    @property
    def best(self) -> Row | None:
        """The way with the lowest expected total, of those that have one."""
        return next((row for row in self.rows if row.expected is not None), None)


def compare_ways(*, ways: Sequence[Way], cost_per_day: Decimal) -> Comparison:
    """Return the ways with what each is expected to cost.

    Formula: once = landed + labour + days * cost per day; expected total = once + chance * cost of a comeback: the
    expected value of a cost that comes with the chance p, and doesn't with 1 - p. The ends of the interval of the
    chance give those of the total.

    Parameters:
        ways: one or more.
        cost_per_day [money a day]: what a day off the road costs, by the workshop's own reckoning.
    Returns:
        the comparison, every amount to the cent, halves up.
    Valid range: money and days from zero up, 0 <= low <= chance <= high <= 1, one currency throughout;
        ``ValueError`` for anything else.
    Example:
        >>> used = Way(kind="used", label="used part", landed=Decimal(400), days_off_road=2, comeback=Comeback(
        ...     chance=0.25, low=0.1, high=0.5, repairs=20, workshops=6))
        >>> compare_ways(ways=[used], cost_per_day=Decimal(50)).rows[0].expected
        Decimal('625.00')

    Source: expected value of a discrete cost, sum of p x; any text on decision analysis.
    """
    if not ways:
        raise ValueError("The argument ways must hold one way or more.")
    day = _money("cost_per_day", cost_per_day)
    rows = [_row(way, day) for way in ways]
    known = sorted((row for row in rows if row.expected is not None), key=lambda row: (row.expected, row.once))
    unknown = sorted((row for row in rows if row.expected is None), key=lambda row: row.once)
    return Comparison(rows=(*known, *unknown), tells=_tells(known, unknown))


def _row(way: Way, cost_per_day: Decimal) -> Row:
    if isinstance(way.days_off_road, bool) or not isinstance(way.days_off_road, int) or way.days_off_road < 0:
        raise ValueError(f"The days off the road of {way.kind} must be a whole number from zero up.")
    off_road = way.days_off_road * cost_per_day
    once = _money("landed", way.landed) + _money("labour", way.labour) + off_road
    again = once if way.cost_of_comeback is None else _money("cost_of_comeback", way.cost_of_comeback)
    low, chance, high = (once + share * again for share in _chances(way)) if way.comeback else (None, None, None)
    return Row(
        way=way,
        off_road=_cents(off_road),
        once=_cents(once),
        if_it_comes_back=_cents(again),
        expected=None if chance is None else _cents(chance),
        low=None if low is None else _cents(low),
        high=None if high is None else _cents(high),
    )


def _chances(way: Way) -> tuple[Decimal, Decimal, Decimal]:
    known = way.comeback
    if known is None or not 0.0 <= known.low <= known.chance <= known.high <= 1.0:
        raise ValueError(f"The chances of {way.kind} must rise from low over chance to high, between 0 and 1.")
    return Decimal(str(known.low)), Decimal(str(known.chance)), Decimal(str(known.high))


def _tells(known: Sequence[Row], unknown: Sequence[Row]) -> Literal["clear", "overlap", "too_few"]:
    if unknown or len(known) < 2:
        return "too_few"
    first, *others = known
    ends = [row.low for row in others if row.low is not None]
    return "clear" if first.high is not None and first.high < min(ends) else "overlap"


def _money(name: str, amount: Decimal) -> Decimal:
    if not isinstance(amount, Decimal) or not amount.is_finite() or amount < 0:
        raise ValueError(f"The argument {name} must be an amount from zero up, but it is {amount!r}.")
    return amount


def _cents(amount: Decimal) -> Decimal:
    return amount.quantize(CENT, rounding=ROUND_HALF_UP)
