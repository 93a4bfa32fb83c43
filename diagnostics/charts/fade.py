"""Capacity over the years: what was found, and the range between two laws until each meets the limit."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from diagnostics.charts import scale


@dataclass(frozen=True, kw_only=True)
class Finding:
    """A capacity that was measured: age in years, percent of the rated one, its uncertainty in percent."""

    age_years: float
    capacity_percent: float
    uncertainty_percent: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """One size of the chart."""

    size: str
    width: int
    height: float
    left: float
    right: float
    top: float
    bottom: float
    linear: str
    square_root: str
    band: str
    dots: str
    whiskers: str
    x_ticks: tuple[scale.Tick, ...]
    y_ticks: tuple[scale.Tick, ...]
    grid: str
    limit_at: float
    hatches: str
    crossings: tuple[tuple[float, float, str, str], ...]
    interval: str
    now_at: float


@dataclass(frozen=True, kw_only=True)
class Fade:
    """The chart; the two ages are those at which the laws meet the limit, infinite when they never do."""

    template: ClassVar[str] = "charts/fade.html"
    key: str
    title: str
    limit_percent: float
    history: tuple[Finding, ...]
    linear_age: float | None
    square_root_age: float | None
    interval: tuple[float, float] | None
    wide: Drawing
    phone: Drawing

    @property
    def rows(self) -> list[tuple[float, float, float]]:
        """Age, percent of the rated capacity, and its uncertainty: the table."""
        return [(f.age_years, f.capacity_percent, f.uncertainty_percent) for f in self.history]


def linear(limit: float, meets: float, age: float) -> float:
    """Percent left at an age when a straight fade from 100 meets the limit at ``meets``."""
    return 100 - (100 - limit) * age / meets


def square_root(limit: float, meets: float, age: float) -> float:
    """The same when the fade goes with the square root of age."""
    return 100 - (100 - limit) * math.sqrt(age / meets)


def _draw(
    history: Sequence[Finding],
    limit: float,
    linear_age: float | None,
    root_age: float | None,
    interval: tuple[float, float] | None,
    size: str,
) -> Drawing:
    width, left, right = (620, 52.0, 600.0) if size == scale.WIDE else (296, 40.0, 284.0)
    top, bottom = 30.0, 250.0 if size == scale.WIDE else 220.0
    newest = max((finding.age_years for finding in history), default=0.0)
    laws = [(law, age) for law, age in ((linear, linear_age), (square_root, root_age)) if age and math.isfinite(age)]
    # A law that meets the limit in the far future must not squeeze what was measured into a corner.
    end = max(min(max([age for _, age in laws], default=0.0) * 1.06, 3 * max(newest, 4.0)), newest * 1.15, 1.0)
    x, y = scale.Linear(0.0, end, left, right), scale.Linear(0.0, 105.0, bottom, top)
    ages = [newest + (end - newest) * step / 40 for step in range(41)]
    tracks = []
    for law, meets in laws:
        stop = min(meets, end)
        tracks.append([(x(age), y(law(limit, meets, age))) for age in [*(a for a in ages if a < stop), stop]])
    paths = [scale.polyline(track) for track in tracks]
    # The range lies between the laws and above the limit, also where one of them runs out of the drawing.
    floor = [(track[-1][0], y(limit)) for track in tracks] if laws and laws[0][1] <= end else []
    band = scale.polyline([*tracks[0], *floor, *reversed(tracks[1])], closed=True) if len(tracks) == 2 else ""
    y_ticks = tuple(scale.Tick(at=y(v), value=float(v), decimals=0) for v in range(0, 101, 20) if v != limit)
    return Drawing(
        size=size,
        width=width,
        height=bottom + 44,
        left=left,
        right=right,
        top=top,
        bottom=bottom,
        linear=paths[0] if laws and laws[0][0] is linear else "",
        square_root=paths[len(laws) - 1] if laws and laws[-1][0] is square_root else "",
        band=band,
        dots=scale.joined(scale.circle(x(f.age_years), y(f.capacity_percent), 4) for f in history),
        whiskers=scale.joined(
            scale.upright_whisker(
                y(f.capacity_percent - f.uncertainty_percent),
                y(f.capacity_percent + f.uncertainty_percent),
                x(f.age_years),
            )
            for f in history
            if f.uncertainty_percent
        ),
        x_ticks=x.ticks(8 if size == scale.WIDE else 5),
        y_ticks=y_ticks,
        grid=scale.joined(scale.line(left, t.at, right, t.at) for t in y_ticks if t.value),
        limit_at=y(limit),
        hatches=scale.hatch(left, y(limit), right - left, bottom - y(limit)),
        crossings=tuple(
            (x(age), y(limit), "first" if law is linear else "second", scale.diamond(x(age), y(limit), 6))
            for law, age in laws
            if age <= end
        ),
        interval=_interval(x, y(limit), interval, end),
        now_at=x(newest),
    )


def _interval(x: scale.Linear, at: float, interval: tuple[float, float] | None, end: float) -> str:
    """The 95 % interval along the limit: a whisker, without its later tick where it runs out of the drawing."""
    if interval is None or interval[0] >= end:
        return ""
    early, late = interval
    path = f"M{x(early):.6g} {at - 7:.6g}V{at + 7:.6g}M{x(early):.6g} {at:.6g}H{x(min(late, end)):.6g}"
    return path + (f"M{x(late):.6g} {at - 7:.6g}V{at + 7:.6g}" if late <= end else "")


def build(
    *,
    key: str,
    title: str,
    history: Sequence[Finding],
    limit_percent: float,
    linear_age: float | None = None,
    square_root_age: float | None = None,
    interval: tuple[float, float] | None = None,
) -> Fade:
    """Findings in the order of age. The ages are counted from new, not from today; None: no outlook is given.

    The interval is the earliest and the latest age at which the limit is met, where one can be told.
    """
    ordered = tuple(sorted(history, key=lambda finding: finding.age_years))
    return Fade(
        key=key,
        title=title,
        limit_percent=limit_percent,
        history=ordered,
        linear_age=linear_age,
        square_root_age=square_root_age,
        interval=interval,
        wide=_draw(ordered, limit_percent, linear_age, square_root_age, interval, scale.WIDE),
        phone=_draw(ordered, limit_percent, linear_age, square_root_age, interval, scale.PHONE),
    )
