"""Answers side by side: cost and arrival on one axis, the lowest and the first of them marked."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.utils import timezone

from diagnostics.charts import comparison
from parts.models import Answer


@dataclass(frozen=True, kw_only=True)
class Compared:
    """The answers with their rows of the chart; those in another currency come after, without a place on the axis."""

    rows: tuple[tuple[Answer, Any], ...]
    elsewhere: tuple[Answer, ...]
    chart: comparison.Comparison | None
    lowest: Decimal | None
    first: datetime.date | None
    currency: str

    @property
    def count(self) -> int:
        return len(self.rows) + len(self.elsewhere)

    @property
    def months(self) -> tuple[datetime.date, ...]:
        """First and last month on the axis of days, once where they are the same."""
        if not self.chart or not self.chart.days:
            return ()
        ends = (self.chart.days[0].day, max(one.arrives for one, _row in self.rows))  # type: ignore[attr-defined]
        return ends if (ends[0].year, ends[0].month) != (ends[1].year, ends[1].month) else ends[:1]


def compared(answers: Iterable[Answer], currency: str, today: datetime.date) -> Compared:
    """Answers as ordered, those in `currency` against each other."""
    listed = list(answers)
    for one in listed:
        one.leaves = leaving(one, today)  # type: ignore[attr-defined]
        one.arrives = one.leaves + datetime.timedelta(days=one.days_to_arrive)  # type: ignore[attr-defined]
    here = [one for one in listed if one.currency == currency]
    chart = comparison.build(offers=[_offer(one) for one in here]) if here else None
    return Compared(
        rows=tuple(zip(here, chart.rows, strict=True)) if chart else (),
        elsewhere=tuple(one for one in listed if one.currency != currency),
        chart=chart,
        lowest=min((one.cost for one in here), default=None),
        first=min((one.arrives for one in listed), default=None),  # type: ignore[attr-defined]
        currency=currency,
    )


def leaving(answer: Answer, today: datetime.date) -> datetime.date:
    """The day from which its days count: today while it can still be accepted, else the day on which it was decided."""
    if answer.accepted_at:
        return timezone.localdate(answer.accepted_at)
    return today if answer.state == Answer.State.OFFERED else timezone.localdate(answer.answered_at)


def _offer(answer: Any) -> comparison.Offer:
    return comparison.Offer(
        goods=float(answer.price),
        carriage=float(answer.freight),
        leaves=(answer.leaves,),
        arrives=answer.arrives,
    )
