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


def compared(answers: Iterable[Answer], currency: str) -> Compared:
    """Answers as ordered, those in `currency` against each other."""
    listed = list(answers)
    here = [one for one in listed if one.currency == currency]
    for one in listed:
        one.arrives = arrival(one)  # type: ignore[attr-defined]
    chart = comparison.build(offers=[_offer(one) for one in here]) if here else None
    return Compared(
        rows=tuple(zip(here, chart.rows, strict=True)) if chart else (),
        elsewhere=tuple(one for one in listed if one.currency != currency),
        chart=chart,
        lowest=min((one.cost for one in here), default=None),
        first=min((arrival(one) for one in listed), default=None),
        currency=currency,
    )


def arrival(answer: Answer) -> datetime.date:
    """The day on which it would arrive, counted from the day of the answer."""
    return timezone.localdate(answer.answered_at) + datetime.timedelta(days=answer.days_to_arrive)


def _offer(answer: Answer) -> comparison.Offer:
    return comparison.Offer(
        goods=float(answer.price),
        carriage=float(answer.freight),
        leaves=(timezone.localdate(answer.answered_at),),
        arrives=arrival(answer),
    )
