"""How long repairs last: up to three curves of survival with bands, who was last seen when, and numbers at risk."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from diagnostics.charts import scale

MIDDLE = "middle-sized"  # a tablet: the names stand below, as on a phone, and the figures have more room
SIZES = {
    scale.WIDE: (1120, 58.0, 848.0, 357.0),
    MIDDLE: (620, 44.0, 600.0, 300.0),
    scale.PHONE: (296, 36.0, 284.0, 220.0),
}


@dataclass(frozen=True, kw_only=True)
class Group:
    """One way of repair: steps of its curve (share from 0 to 1), ends of its interval, last-seen times, risk set.

    ``at_risk`` belongs to the months named in ``build``; ``at``, ``at_low`` and ``at_high`` are the figure at the
    horizon, or None where too few were at risk there.
    """

    label: str
    months: Sequence[float]
    survival: Sequence[float]
    lower: Sequence[float]
    upper: Sequence[float]
    last_seen: Sequence[float]
    at_risk: Sequence[int]
    at: float | None = None
    at_low: float | None = None
    at_high: float | None = None


@dataclass(frozen=True, kw_only=True)
class Curve:
    """A group, drawn. The second has a band of upright lines, so that two bands can cross and both be read."""

    group: Group
    css: str
    steps: str
    band: str
    band_lines: str
    seen: str
    whisker: str
    x: float
    y: float | None
    diamond: str
    name_y: float
    risk_y: float
    risk: tuple[scale.Text, ...]


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
    curves: tuple[Curve, ...]
    x_ticks: tuple[scale.Tick, ...]
    y_ticks: tuple[scale.Tick, ...]
    grid: str
    horizon_at: float
    risk_top: float
    risk_rules: str


@dataclass(frozen=True, kw_only=True)
class Survival:
    """The chart; ``horizon`` is the month at which the figures are compared."""

    template: ClassVar[str] = "charts/survival.html"
    key: str
    title: str
    horizon: float
    months: tuple[float, ...]
    groups: tuple[Group, ...]
    wide: Drawing
    middle: Drawing
    phone: Drawing

    @property
    def rows(self) -> list[tuple[str, float, int, int, int, int]]:
        """Name and month, how many were at risk then, and of every hundred: running, ends of the interval."""
        return [
            (
                group.label,
                month,
                at_risk,
                _hundred(group.months, group.survival, month),
                _hundred(group.months, group.lower, month),
                _hundred(group.months, group.upper, month),
            )
            for group in self.groups
            for month, at_risk in zip(self.months, group.at_risk, strict=True)
        ]


def _level(times: Sequence[float], values: Sequence[float], when: float) -> float:
    """The value of a step curve that begins at 1, at a time."""
    level = 1.0
    for time, value in zip(times, values, strict=True):
        if time > when:
            break
        level = value
    return level


def _hundred(times: Sequence[float], values: Sequence[float], when: float) -> int:
    return round(100 * _level(times, values, when))


def _stairs(
    times: Sequence[float], values: Sequence[float], end: float, x: scale.Linear, y: scale.Linear
) -> list[tuple[float, float]]:
    """The corners of a step curve from (0, 1) to the end."""
    corners, level = [(x(0), y(100.0))], 1.0
    for time, value in zip(times, values, strict=True):
        if time > end:
            break
        corners += [(x(time), y(100 * level)), (x(time), y(100 * value))]
        level = value
    return [*corners, (x(end), y(100 * level))]


def _band(group: Group, end: float, x: scale.Linear, y: scale.Linear) -> str:
    above = _stairs(group.months, group.upper, end, x, y)
    below = _stairs(group.months, group.lower, end, x, y)
    return scale.polyline([*above, *reversed(below)], closed=True)


def _band_lines(group: Group, end: float, x: scale.Linear, y: scale.Linear) -> str:
    """Upright lines every 6 units of the drawing between the ends of the interval."""
    strokes = []
    count = int((x(end) - x(0)) // 6)
    for index in range(count + 1):
        when = index * 6 / (x(end) - x(0)) * end
        high = _level(group.months, group.upper, when)
        low = _level(group.months, group.lower, when)
        if high > low:
            strokes.append(scale.line(x(when), y(100 * high), x(when), y(100 * low)))
    return scale.joined(strokes)


def _draw(groups: Sequence[Group], months: Sequence[float], horizon: float, size: str) -> Drawing:
    wide = size == scale.WIDE
    width, left, right, tall = SIZES[size]
    top = 28.0
    bottom, end = top + tall, max(months)
    x, y = scale.Linear(0.0, end, left, right), scale.Linear(0.0, 100.0, bottom, top)
    risk_top = bottom + (72 if wide else 62)
    pitch = 30.0 if wide else 44.0
    names = _names([100 * _level(g.months, g.survival, end) for g in groups], y)
    shown = list(months) if size != scale.PHONE else [m for m in months if m in (0, horizon, end) or m % 12 == 0]
    curves = tuple(
        _curve(group, index, end, horizon, x, y, names[index], risk_top + pitch * index, months, shown, wide)
        for index, group in enumerate(groups)
    )
    y_ticks = tuple(scale.Tick(at=y(v), value=v, decimals=0) for v in (0.0, 25.0, 50.0, 75.0, 100.0))
    return Drawing(
        size=size,
        width=width,
        height=risk_top + pitch * len(groups) + 4,
        left=left,
        right=right,
        top=top,
        bottom=bottom,
        curves=curves,
        x_ticks=tuple(scale.Tick(at=x(m), value=float(m), decimals=0, strong=m == horizon) for m in shown),
        y_ticks=y_ticks,
        grid=scale.joined(scale.line(left, t.at, right, t.at) for t in y_ticks if t.value),
        horizon_at=x(horizon),
        risk_top=risk_top,
        risk_rules=scale.joined(scale.line(left - 10, curve.risk_y, right + 8, curve.risk_y) for curve in curves),
    )


def _names(levels: Sequence[float], y: scale.Linear) -> list[float]:
    """Heights for the names at the right: beside the curve's end, three lines of room for each."""
    heights = [0.0] * len(levels)
    last = -1e9
    for index in sorted(range(len(levels)), key=lambda i: -levels[i]):
        heights[index] = last = max(y(levels[index]) - 12, last + 74)
    return heights


def _curve(
    group: Group,
    index: int,
    end: float,
    horizon: float,
    x: scale.Linear,
    y: scale.Linear,
    name_y: float,
    risk_y: float,
    months: Sequence[float],
    shown: Sequence[float],
    wide: bool,
) -> Curve:
    at = None if group.at is None else y(100 * group.at)
    lined = index % 2 == 1
    ticks = [(m, y(100 * _level(group.months, group.survival, m))) for m in sorted(set(group.last_seen)) if m <= end]
    seen = scale.joined(scale.line(x(month), height - 7, x(month), height) for month, height in ticks)
    return Curve(
        group=group,
        css=("first", "second", "third")[index % 3],
        steps=scale.polyline(_stairs(group.months, group.survival, end, x, y)),
        band="" if lined else _band(group, end, x, y),
        band_lines=_band_lines(group, end, x, y) if lined else "",
        seen=seen,
        whisker=scale.upright_whisker(y(100 * group.at_low), y(100 * group.at_high), x(horizon))
        if group.at_low is not None and group.at_high is not None
        else "",
        x=x(horizon),
        y=at,
        diamond=scale.diamond(x(horizon), at, 7.5) if lined and at is not None else "",
        name_y=name_y,
        risk_y=risk_y,
        risk=tuple(
            scale.Text(x=x(m), y=risk_y + (20 if wide else 22), css="middle" if wide else "middle small", words=str(n))
            for m, n in zip(months, group.at_risk, strict=True)
            if m in shown
        ),
    )


def build(*, key: str, title: str, groups: Sequence[Group], months: Sequence[float], horizon: float = 24.0) -> Survival:
    """Curves to the last of the months, at which the numbers at risk are given for every group."""
    return Survival(
        key=key,
        title=title,
        horizon=horizon,
        months=tuple(months),
        groups=tuple(groups),
        wide=_draw(groups, months, horizon, scale.WIDE),
        middle=_draw(groups, months, horizon, MIDDLE),
        phone=_draw(groups, months, horizon, scale.PHONE),
    )
