"""Offers side by side: what each costs once landed, and when each arrives, all rows on one axis.

Unlike the other charts this one is spread over a table: the axes stand in its head, one bar and one line in each row.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import ClassVar

from diagnostics.charts import scale

COST_WIDTH = 210
DAYS_WIDTH = 226
INSET = 8.0  # room for half a mark or half a figure at both ends of an axis


@dataclass(frozen=True, kw_only=True)
class Offer:
    """One answer: price of part or work, of carriage, days on which it leaves (and comes by) and arrives."""

    goods: float
    carriage: float
    leaves: Sequence[date] = ()
    arrives: date | None = None


@dataclass(frozen=True, kw_only=True)
class Row:
    """An answer, drawn."""

    solid: float
    carriage_x: float
    carriage: float
    carriage_hatch: str
    stops: tuple[float, ...]
    arrives: str
    way: str
    weekends: str
    cheapest: bool
    first: bool


@dataclass(frozen=True, kw_only=True)
class DayTick:
    """A day on the axis of arrival."""

    at: float
    day: date


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """Axes for the head of the table, and one row for each offer in their order."""

    template: ClassVar[str] = "charts/_cost_axis.html"
    cost_width: int
    days_width: int
    costs: tuple[scale.Tick, ...]
    days: tuple[DayTick, ...]
    rows: tuple[Row, ...]


def _weekends(first: date, last: date, x: scale.Linear) -> str:
    """Saturday and Sunday as one rectangle from half a day before to half a day after."""
    rectangles = []
    for offset in range((last - first).days + 1):
        day = first + timedelta(days=offset)
        if day.weekday() >= 5:
            left, right = max(x(offset - 0.5), 0.0), min(x(offset + 0.5), float(DAYS_WIDTH))
            rectangles.append(scale.rectangle(left, 2, right - left, 26))
    return scale.joined(rectangles)


def build(*, offers: Sequence[Offer]) -> Comparison:
    """Costs from zero; days from the first departure to the last arrival."""
    totals = [offer.goods + offer.carriage for offer in offers]
    cost = scale.Linear(0.0, max([*totals, 0.0]) * 1.02 or 1.0, 0.0, float(COST_WIDTH))
    dates = [day for offer in offers for day in (*offer.leaves, offer.arrives) if day]
    first, last = (min(dates), max(dates)) if dates else (date.min, date.min)
    span = max((last - first).days, 1)
    x = scale.Linear(0.0, float(span), INSET, DAYS_WIDTH - INSET)
    shaded = _weekends(first, last, x) if dates else ""
    arrivals = [offer.arrives for offer in offers if offer.arrives]
    rows = []
    for offer, total in zip(offers, totals, strict=True):
        stops = tuple(x((day - first).days) for day in offer.leaves)
        end = x((offer.arrives - first).days) if offer.arrives else None
        solid, whole = cost(offer.goods), cost(total)
        rows.append(
            Row(
                solid=solid,
                carriage_x=solid,
                carriage=scale.rounded(whole - solid),
                carriage_hatch=scale.hatch(solid, 1, whole - solid, 15, gap=6),
                stops=stops,
                arrives=scale.diamond(end, 15, 7) if end is not None else "",
                way=scale.line(stops[0], 15, end, 15) if stops and end is not None else "",
                weekends=shaded,
                cheapest=total == min(totals),
                first=bool(arrivals) and offer.arrives == min(arrivals),
            )
        )
    stride = next((step for step in (1, 2, 5, 7, 14, 28) if span / step <= 8), 56)
    return Comparison(
        cost_width=COST_WIDTH,
        days_width=DAYS_WIDTH,
        costs=cost.ticks(3),
        days=tuple(DayTick(at=x(n), day=first + timedelta(days=n)) for n in range(0, span + 1, stride))
        if dates
        else (),
        rows=tuple(rows),
    )
