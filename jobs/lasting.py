"""How long repairs last: outcomes gathered by way of repair, part number or system family, and compared.

The same fault again is a failure, a related one too where whoever reads chooses so; everything else was followed
until then. Nothing is said of fewer than five repairs or of repairs by fewer than three workshops: so few tell
neither how long such a repair lasts, nor hide whose they were.
"""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

from django.utils import timezone
from django.utils.text import capfirst

from diagnostics.calculations import outcomes as figures
from diagnostics.charts import survival as chart
from jobs.following import completed_months
from jobs.models import Outcome
from jobs.models.outcomes import OutcomeQuerySet

LEAST_REPAIRS = 5
LEAST_WORKSHOPS = 3
LEAST_AT_RISK = 5  # at the date for which a figure is given
HORIZON = 24
AXIS = (0, 3, 6, 12, 18, 24, 30, 36, 48, 60, 84, 120)
MOST_CURVES = 2  # more bands than two can't be told apart


class Seen(NamedTuple):
    """One repair: completed months until it failed or was last seen, and whether it failed then."""

    months: int
    failed: bool
    workshop: int
    repaired_on: datetime.date


class Row(NamedTuple):
    """One line of the survival table: a month in which something came back."""

    month: int
    at_risk: int
    came_back: int
    running: float
    error: float
    lower: float
    upper: float


@dataclass(frozen=True, kw_only=True)
class Known:
    """At a date: of the repairs old enough whose state is known then, how many ran, with the Wilson interval."""

    months: int
    running: int
    known: int
    share: figures.Proportion


@dataclass(frozen=True)
class Group:
    """Repairs done one way (or with one part number, or on one family)."""

    label: str
    seen: Sequence[Seen]

    @property
    def repairs(self) -> int:
        return len(self.seen)

    @property
    def workshops(self) -> int:
        return len({one.workshop for one in self.seen})

    @property
    def came_back(self) -> int:
        return sum(one.failed for one in self.seen)

    @property
    def too_few(self) -> bool:
        return self.repairs < LEAST_REPAIRS or self.workshops < LEAST_WORKSHOPS

    @cached_property
    def curve(self) -> figures.Survival:
        months, failed = [float(one.months) for one in self.seen], [one.failed for one in self.seen]
        return figures.survival(durations_months=months, failed=failed)

    @property
    def table(self) -> list[Row]:
        c = self.curve
        columns = (c.times_months, c.at_risk, c.failures, c.survival, c.standard_error, c.lower, c.upper)
        return [Row(int(t), int(n), int(d), *map(float, rest)) for t, n, d, *rest in zip(*columns, strict=True)]

    def at_risk(self, month: int) -> int:
        return sum(one.months >= month for one in self.seen)

    def at(self, month: int) -> Row | None:
        """The curve at a month; None where too few were still followed then."""
        if self.at_risk(month) < LEAST_AT_RISK:
            return None
        before = [row for row in self.table if row.month <= month]
        return before[-1] if before else Row(month, self.repairs, 0, 1.0, 0.0, 1.0, 1.0)

    def known_at(self, month: int) -> Known | None:
        """Those old enough for the month and known then; None where they are too few."""
        today = timezone.localdate()
        known = [
            one
            for one in self.seen
            if completed_months(one.repaired_on, today) >= month
            and (one.months >= month or (one.failed and one.months <= month))
        ]
        if len(known) < LEAST_REPAIRS or len({one.workshop for one in known}) < LEAST_WORKSHOPS:
            return None
        running = sum(not (one.failed and one.months <= month) for one in known)
        share = figures.proportion_interval(successes=running, trials=len(known))
        return Known(months=month, running=running, known=len(known), share=share)


def failures(related: bool) -> set[str]:
    """The endings that count as a failure."""
    return {Outcome.Ended.SAME_FAULT, Outcome.Ended.RELATED} if related else {Outcome.Ended.SAME_FAULT}


BY = {
    "method": ("repair_method",),
    "part": ("parts__number", "parts__normalised"),
    "family": ("family__maker", "family__name"),
}


def groups(rows: OutcomeQuerySet, *, by: str, related: bool) -> list[Group]:
    """The outcomes gathered, the largest group first. An outcome with two part numbers stands with both."""
    counts = failures(related)
    fields = ("followed_months", "ended_as", "workshop_id", "repaired_on", *BY[by])
    gathered: dict[str, list[Seen]] = defaultdict(list)
    labels: dict[str, str] = {}
    for months, ended, workshop, repaired_on, *named in rows.order_by("pk").values_list(*fields):
        key = str(named[-1]) if by == "part" else " ".join(filter(None, named))
        if not key or named[-1] is None:
            continue
        labels.setdefault(key, _label(by, named))
        gathered[key].append(Seen(months, ended in counts, workshop, repaired_on))
    found = [Group(labels[key], seen) for key, seen in gathered.items()]
    return sorted(found, key=lambda group: (group.too_few, -group.repairs, group.label))


def _label(by: str, named: list[Any]) -> str:
    if by == "method":
        return capfirst(str(Outcome.Method(named[0]).label))
    return str(named[0]) if by == "part" else " ".join(named)


def compared(told: Iterable[Group]) -> figures.LogRank | None:
    """The log-rank comparison of the groups that are large enough, where there are two or more."""
    large = {
        group.label: ([float(one.months) for one in group.seen], [one.failed for one in group.seen])
        for group in told
        if not group.too_few
    }
    return (
        figures.compare(groups=large) if len(large) > 1 and any(any(failed) for _m, failed in large.values()) else None
    )


def drawn(told: Sequence[Group], title: str) -> chart.Survival | None:
    """The curves of the largest groups; None where every group is too small."""
    large = [group for group in told if not group.too_few][:MOST_CURVES]
    if not large:
        return None
    longest = max(max(one.months for one in group.seen) for group in large)
    axis = [month for month in AXIS if month <= max(longest, HORIZON)]
    end = next((month for month in AXIS if month >= max(longest, HORIZON)), AXIS[-1])
    months = axis if axis[-1] == end else [*axis, end]
    return chart.build(key="lasted", title=title, groups=[_curve(g, months) for g in large], months=months)


def _curve(group: Group, months: Sequence[int]) -> chart.Group:
    at, c = group.at(HORIZON), group.curve
    return chart.Group(
        label=group.label,
        months=c.times_months.tolist(),
        survival=c.survival.tolist(),
        lower=c.lower.tolist(),
        upper=c.upper.tolist(),
        last_seen=[float(one.months) for one in group.seen if not one.failed],
        at_risk=[group.at_risk(month) for month in months],
        at=at.running if at else None,
        at_low=at.lower if at else None,
        at_high=at.upper if at else None,
    )
