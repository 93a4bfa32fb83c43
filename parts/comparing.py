"""Answers side by side: what each costs once landed and when it arrives, on one axis each; lowest and first marked.

An answer without a price (advice, the number that replaced it) is no offer: it stands below, in words.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.utils import timezone

from diagnostics.charts import comparison
from network.models import Workshop
from parts import borders, exchange
from parts.models import Answer


@dataclass(frozen=True, kw_only=True)
class Compared:
    """The answers with their rows of the chart; those whose landed cost isn't known come after, off the axis."""

    rows: tuple[tuple[Answer, Any], ...]
    elsewhere: tuple[Answer, ...]
    advice: tuple[Answer, ...]
    chart: comparison.Comparison | None
    first: datetime.date | None
    currency: str

    @property
    def count(self) -> int:
        return len(self.rows) + len(self.elsewhere) + len(self.advice)

    @property
    def answers(self) -> list[Answer]:
        return [*(one for one, _row in self.rows), *self.elsewhere, *self.advice]

    @property
    def months(self) -> tuple[datetime.date, ...]:
        """First and last month on the axis of days, once where they are the same."""
        if not self.chart or not self.chart.days:
            return ()
        ends = (self.chart.days[0].day, max(one.arrives for one, _row in self.rows))  # type: ignore[attr-defined]
        return ends if (ends[0].year, ends[0].month) != (ends[1].year, ends[1].month) else ends[:1]


def compared(answers: Iterable[Answer], asking: Workshop, today: datetime.date) -> Compared:
    """Cheapest landed first, in the currency and at the door of whoever asks.

    Each answer is given `leaves`, `arrives`, and `landed` (None where a rate is missing, which `missing` then names).
    """
    everything = list(answers)
    listed = [one for one in everything if one.can_be_accepted]
    for one in listed:
        _reckon(one, asking, today)
    here = sorted((one for one in listed if one.landed), key=_by_cost)  # type: ignore[attr-defined]
    chart = comparison.build(offers=[_offer(one) for one in here]) if here else None
    return Compared(
        rows=tuple(zip(here, chart.rows, strict=True)) if chart else (),
        elsewhere=tuple(one for one in listed if not one.landed),  # type: ignore[attr-defined]
        advice=tuple(one for one in everything if not one.can_be_accepted),
        chart=chart,
        first=min((one.arrives for one in listed), default=None),  # type: ignore[attr-defined]
        currency=asking.currency,
    )


def counting_from(answer: Answer, today: datetime.date) -> datetime.date:
    """The day from which its days count: today while it can still be accepted, else the day on which it was decided."""
    if answer.accepted_at:
        return timezone.localdate(answer.accepted_at)
    return today if answer.state == Answer.State.OFFERED else timezone.localdate(answer.answered_at)


def _reckon(one: Any, asking: Workshop, today: datetime.date) -> None:
    """Days and cost as of the day on which it was decided, or today: later rates don't change what was agreed."""
    day = counting_from(one, today)
    one.leaves = day + datetime.timedelta(days=one.days_to_ship)
    one.arrives = day + datetime.timedelta(days=one.days_to_arrive)
    one.landed, one.missing = None, None
    try:
        one.landed = borders.landed(one, into_country=asking.country, currency=asking.currency, on=day)
    except (borders.NoBorderRate, exchange.NoRate, exchange.BadRates) as missing:
        one.missing = missing


def _by_cost(one: Any) -> tuple[Any, ...]:
    return one.landed.cost.total, one.days_to_arrive, one.pk


def _offer(answer: Any) -> comparison.Offer:
    cost = answer.landed.cost
    return comparison.Offer(
        goods=float(cost.amount("goods")),
        carriage=float(cost.total - cost.amount("goods")),
        leaves=(answer.leaves,),
        arrives=answer.arrives,
    )
