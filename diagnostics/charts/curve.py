"""A quantity over time or over anything else: one to three lines, limits across, marked points."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import ClassVar, Literal

from diagnostics.charts import scale

MOST_POINTS = 600  # more than a line of this width can show; longer logs are thinned, keeping every peak
CLASSES = ("first", "second", "third")


@dataclass(frozen=True, kw_only=True)
class Series:
    """One line: its name and its points in order."""

    label: str
    x: Sequence[float]
    y: Sequence[float]


@dataclass(frozen=True, kw_only=True)
class Limit:
    """A horizontal limit; the forbidden side lies below a minimum and above a maximum.

    ``after`` is for a time limit ("under 60 V within 5 s"): only from there on is that side forbidden.
    """

    kind: Literal["minimum", "maximum"]
    value: float
    label: str = ""
    after: float | None = None


@dataclass(frozen=True, kw_only=True)
class Mark:
    """A point worth naming: the moment a voltage falls below its limit, the end of a test."""

    x: float
    y: float
    label: str
    outside: bool = False


@dataclass(frozen=True, kw_only=True)
class Line:
    """A series, drawn."""

    label: str
    css: str
    d: str
    name_y: float
    key_y: float


@dataclass(frozen=True, kw_only=True)
class Spot:
    """A mark, drawn: dot or diamond, and where its words stand."""

    mark: Mark
    x: float
    y: float
    diamond: str
    text_x: float
    text_y: float
    anchor: str


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
    lines: tuple[Line, ...]
    x_ticks: tuple[scale.Tick, ...]
    y_ticks: tuple[scale.Tick, ...]
    grid: str
    hatches: str
    limit_lines: str
    limits: tuple[tuple[Limit, float], ...]
    spots: tuple[Spot, ...]


@dataclass(frozen=True, kw_only=True)
class Curve:
    """The chart. ``rows`` is the table: at most some twenty-five points of each series, first and last among them."""

    template: ClassVar[str] = "charts/curve.html"
    key: str
    title: str
    x_label: str
    y_label: str
    series: tuple[Series, ...]
    limits: tuple[Limit, ...]
    marks: tuple[Mark, ...]
    rows: tuple[tuple[str, float, float], ...]
    wide: Drawing
    phone: Drawing


def thinned(x: Sequence[float], y: Sequence[float], most: int = MOST_POINTS) -> list[tuple[float, float]]:
    """The points, or of a long log the lowest and highest of each of many equal parts: no peak is lost."""
    count = len(x)
    if count <= most:
        return [(float(a), float(b)) for a, b in zip(x, y, strict=True)]
    import numpy as np  # long logs only: a short chart needs no arrays

    xs, ys = np.asarray(x, dtype=float), np.asarray(y, dtype=float)
    edges = np.linspace(0, count, most // 2 + 1).astype(int)
    chosen = {0, count - 1}
    for start, end in pairwise(edges):
        part = ys[start:end]
        chosen.update((start + int(part.argmin()), start + int(part.argmax())))
    return [(float(xs[i]), float(ys[i])) for i in sorted(chosen)]


def _lines(
    points: Sequence[list[tuple[float, float]]], series: Sequence[Series], x: scale.Scale, y: scale.Scale, bottom: float
) -> tuple[Line, ...]:
    """The lines, and heights for their names at the right that keep 20 apart."""
    drawn, last = [], -1e9
    order = sorted(range(len(series)), key=lambda i: y(points[i][-1][1]) if points[i] else 0.0)
    heights = {}
    for index in order:
        wanted = y(points[index][-1][1]) if points[index] else 0.0
        heights[index] = last = max(wanted, last + 20)
    for index, one in enumerate(series):
        d = scale.polyline([(x(a), y(b)) for a, b in points[index]])
        drawn.append(
            Line(label=one.label, css=CLASSES[index % 3], d=d, name_y=heights[index], key_y=bottom + 62 + 22 * index)
        )
    return tuple(drawn)


def _spots(marks: Sequence[Mark], x: scale.Scale, y: scale.Scale, middle: float, top: float) -> tuple[Spot, ...]:
    spots = []
    for mark in marks:
        at_x, at_y = x(mark.x), y(mark.y)
        left_of = at_x > middle
        spots.append(
            Spot(
                mark=mark,
                x=at_x,
                y=at_y,
                diamond=scale.diamond(at_x, at_y) if mark.outside else "",
                text_x=at_x - 9 if left_of else at_x + 9,
                text_y=at_y - 9 if at_y - 22 > top else at_y + 20,
                anchor="end" if left_of else "start",
            )
        )
    return tuple(spots)


def _draw(
    points: Sequence[list[tuple[float, float]]],
    series: Sequence[Series],
    limits: Sequence[Limit],
    marks: Sequence[Mark],
    *,
    log_y: bool,
    zero: bool,
    size: str,
) -> Drawing:
    wide = size == scale.WIDE
    width, left, right, top, tall = (620, 56.0, 612.0, 30.0, 220.0) if wide else (296, 44.0, 292.0, 30.0, 180.0)
    if len(series) > 1 and wide:
        right -= 8.2 * max(len(one.label) for one in series)
    bottom = top + tall
    xs = [a for part in points for a, _ in part] + [mark.x for mark in marks]
    xs += [limit.after * 1.15 for limit in limits if limit.after is not None]
    ys = [b for part in points for _, b in part] + [mark.y for mark in marks] + [limit.value for limit in limits]
    x = scale.Linear(*_x_ends(xs), left, right)
    y: scale.Scale
    if log_y:
        positive = [value for value in ys if value > 0] or [1.0]
        y = scale.Log(min(positive) / 1.8, max(positive) * 1.8, bottom, top)
    else:
        y = scale.Linear(*scale.domain(ys, pad=0.1, zero=zero), bottom, top)
    x_ticks, y_ticks = x.ticks(6 if wide else 4), y.ticks(5 if wide else 4)
    corners = [(limit, left if limit.after is None else x(limit.after), y(limit.value)) for limit in limits]
    return Drawing(
        size=size,
        width=width,
        height=bottom + 44 + (0 if wide or len(series) == 1 else 22 * len(series)),
        left=left,
        right=right,
        top=top,
        bottom=bottom,
        lines=_lines(points, series, x, y, bottom),
        x_ticks=x_ticks,
        y_ticks=y_ticks,
        grid=scale.joined(scale.line(left, t.at, right, t.at) for t in y_ticks),
        hatches=scale.joined(
            scale.hatch(start, level, right - start, bottom - level)
            if limit.kind == "minimum"
            else scale.hatch(start, top, right - start, level - top)
            for limit, start, level in corners
        ),
        limit_lines=scale.joined(
            scale.polyline(
                [
                    *([] if limit.after is None else [(start, bottom if limit.kind == "minimum" else top)]),
                    (start, level),
                    (right, level),
                ]
            )
            for limit, start, level in corners
        ),
        limits=tuple((limit, y(limit.value)) for limit in limits),
        spots=_spots(marks, x, y, (left + right) / 2, top),
    )


def _x_ends(xs: Sequence[float]) -> tuple[float, float]:
    low, high = (min(xs), max(xs)) if xs else (0.0, 1.0)
    return (low, high) if high > low else (low, low + 1.0)


def _rows(series: Sequence[Series], most: int = 24) -> tuple[tuple[str, float, float], ...]:
    rows = []
    for one in series:
        last = len(one.x) - 1
        stride = max(1, -(-last // most))
        picked = sorted({*range(0, last + 1, stride), last}) if last >= 0 else []
        rows += [(one.label, float(one.x[i]), float(one.y[i])) for i in picked]
    return tuple(rows)


def build(
    *,
    key: str,
    title: str,
    series: Sequence[Series],
    x_label: str,
    y_label: str,
    limits: Sequence[Limit] = (),
    marks: Sequence[Mark] = (),
    log_y: bool = False,
    zero: bool = False,
) -> Curve:
    """Lines with their limits. The labels name quantity and unit of an axis; ``zero``: the y axis begins there."""
    points = [thinned(one.x, one.y) for one in series]
    both = [
        _draw(points, series, limits, marks, log_y=log_y, zero=zero, size=size) for size in (scale.WIDE, scale.PHONE)
    ]
    return Curve(
        key=key,
        title=title,
        x_label=x_label,
        y_label=y_label,
        series=tuple(series),
        limits=tuple(limits),
        marks=tuple(marks),
        rows=_rows(series),
        wide=both[0],
        phone=both[1],
    )
