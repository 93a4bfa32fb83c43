"""Readings against one limit or a range: a point with its whisker on a thin line, the forbidden side hatched.

Resistances span decades: then equal ratios. A bound ("> 550 megohm") is an arrow from its figure to the edge.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import ClassVar, Literal

from diagnostics.charts import scale

Bound = Literal["", "at_least", "at_most"]
SIGNS: dict[Bound, str] = {"": "", "at_least": "> ", "at_most": "< "}


@dataclass(frozen=True, kw_only=True)
class Reading:
    """One reading: value, the ends of its uncertainty (equal to the value when unknown), or a bound."""

    label: str
    value: float
    low: float | None = None
    high: float | None = None
    bound: Bound = ""
    verdict: str = ""
    digits: int = 3


@dataclass(frozen=True, kw_only=True)
class Row:
    """A reading, drawn: the point, and its whisker or the arrow of a bound."""

    reading: Reading
    y: float
    point: float
    whisker: str
    head: str


@dataclass(frozen=True, kw_only=True)
class Edge:
    """A limit, drawn: where it stands, its figure and where its words go."""

    kind: str
    value: float
    at: float
    word_at: float
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
    rows: tuple[Row, ...]
    lines: str
    whiskers: str
    heads: str
    dots: str
    hollow: str
    diamonds: str
    ticks: tuple[scale.Tick, ...]
    texts: tuple[scale.Text, ...]
    grid: str
    hatches: str
    limit_lines: str
    edges: tuple[Edge, ...]


@dataclass(frozen=True, kw_only=True)
class Frame:
    """Where the plot lies in its drawing."""

    wide: bool
    width: int
    left: float
    right: float
    top: float
    bottom: float
    pitch: float


@dataclass(frozen=True, kw_only=True)
class LimitLine:
    """The chart: minimum, maximum or both (a range); log tells that the scale has equal ratios."""

    template: ClassVar[str] = "charts/limit_line.html"
    key: str
    title: str
    unit: str
    minimum: float | None
    maximum: float | None
    log: bool
    readings: tuple[Reading, ...]
    wide: Drawing
    phone: Drawing

    @property
    def rows(self) -> list[tuple[str, str, float, int, float | None, float | None]]:
        """Label, sign of a bound, value, its digits, and the ends of its uncertainty: the table."""
        return [(r.label, SIGNS[r.bound], r.value, r.digits, r.low, r.high) for r in self.readings]


def _ends(readings: Sequence[Reading], minimum: float | None, maximum: float | None, log: bool) -> tuple[float, float]:
    """The ends of the scale, with room beyond every limit for its hatching and beyond every reading for an arrow."""
    limits = [edge for edge in (minimum, maximum) if edge is not None]
    values = [v for r in readings for v in (r.value, r.low, r.high) if v is not None] + limits
    if log:
        positive = [value for value in values if value > 0]
        return min(positive) / 3.2, max(positive) * 3.2
    low, high = scale.domain(values, pad=0.18)
    if low < 0 <= min(values):
        low = 0.0
    if limits and min(values) > 0 and min(values) < 0.5 * max(values):
        low = 0.0
    return low, high


def _row(reading: Reading, y: float, x: scale.Scale, left: float, right: float) -> Row:
    point, whisker, head = x(reading.value), "", ""
    if reading.bound:
        tip, back = (right - 2, right - 11) if reading.bound == "at_least" else (left + 2, left + 11)
        whisker = scale.joined((scale.line(point, y, back, y), scale.line(point, y - 5.5, point, y + 5.5)))
        head = scale.polyline([(tip, y), (back, y - 5), (back, y + 5)], closed=True)
    elif reading.low is not None and reading.high is not None and reading.high > reading.low:
        whisker = scale.whisker(x(reading.low), x(reading.high), y)
    return Row(reading=reading, y=y, point=point, whisker=whisker, head=head)


def _edge(kind: str, value: float, at: float, width: float) -> Edge:
    """A limit's words lean into the permitted side, unless they would leave the drawing."""
    anchor = "start" if kind == "minimum" else "end"
    if at > width * 0.62:
        anchor = "end"
    elif at < width * 0.38:
        anchor = "start"
    return Edge(kind=kind, value=value, at=at, word_at=at + (4 if anchor == "start" else -4), anchor=anchor)


def _marks(rows: Sequence[Row], verdicts: Collection[str]) -> list[Row]:
    """The rows with a point of their own and one of these verdicts: a bound has none, its arrow tells it."""
    return [row for row in rows if not row.reading.bound and row.reading.verdict in verdicts]


def _texts(rows: Sequence[Row], ticks: Sequence[scale.Tick], unit: str, frame: Frame) -> tuple[scale.Text, ...]:
    texts = []
    for row in rows:
        reading, y = row.reading, row.y + (5 if frame.wide else -14)
        value_at = frame.width if frame.wide else frame.right
        texts.append(scale.Text(x=0 if frame.wide else frame.left, y=y, css="strong halo", words=reading.label))
        texts.append(
            scale.Text(
                x=value_at,
                y=y,
                css="end halo",
                value=reading.value,
                style="figure",
                digits=reading.digits,
                before=SIGNS[reading.bound],
                unit=unit,
            )
        )
    for tick in ticks:
        texts.append(
            scale.Text(x=tick.at, y=frame.bottom + 20, css="middle soft", value=tick.value, digits=tick.decimals)
        )
    return tuple(texts)


def _frame(readings: Sequence[Reading], wide: bool) -> Frame:
    """Beside the labels on a wide screen; on a phone they stand above their lines."""
    named = max((len(reading.label) for reading in readings), default=0)
    left, right = (min(24.0 + 7.6 * named, 190.0), 496.0) if wide else (4.0, 292.0)
    pitch, top = (40.0 if wide else 56.0), 28.0
    bottom = top + pitch * len(readings) + 6
    return Frame(wide=wide, width=620 if wide else 296, left=left, right=right, top=top, bottom=bottom, pitch=pitch)


def _draw(
    readings: Sequence[Reading], unit: str, minimum: float | None, maximum: float | None, log: bool, size: str
) -> Drawing:
    f = _frame(readings, size == scale.WIDE)
    x = (scale.Log if log else scale.Linear)(*_ends(readings, minimum, maximum, log), f.left, f.right)
    limits = [(kind, value) for kind, value in (("minimum", minimum), ("maximum", maximum)) if value is not None]
    edges = tuple(_edge(kind, value, x(value), f.width) for kind, value in limits)
    ticks = x.ticks(5 if f.wide else 3)
    first = f.top + 3 + f.pitch * (0.5 if f.wide else 0.72)
    rows = tuple(_row(r, first + f.pitch * i, x, f.left, f.right) for i, r in enumerate(readings))
    tall = f.bottom - f.top
    return Drawing(
        size=size,
        width=f.width,
        height=f.bottom + 44,
        left=f.left,
        right=f.right,
        top=f.top,
        bottom=f.bottom,
        rows=rows,
        lines=scale.joined(scale.line(f.left, row.y, f.right, row.y) for row in rows),
        whiskers=scale.joined(row.whisker for row in rows),
        heads=scale.joined(row.head for row in rows),
        dots=scale.joined(scale.circle(row.point, row.y, 4.5) for row in _marks(rows, ("within", ""))),
        hollow=scale.joined(scale.circle(row.point, row.y, 4) for row in _marks(rows, ("unproven",))),
        diamonds=scale.joined(scale.diamond(row.point, row.y) for row in _marks(rows, ("outside",))),
        ticks=ticks,
        texts=_texts(rows, ticks, unit, f),
        grid=scale.joined(scale.line(tick.at, f.top, tick.at, f.bottom) for tick in ticks),
        hatches=scale.joined(
            scale.hatch(f.left, f.top, edge.at - f.left, tall)
            if edge.kind == "minimum"
            else scale.hatch(edge.at, f.top, f.right - edge.at, tall)
            for edge in edges
        ),
        limit_lines=scale.joined(scale.line(edge.at, f.top - 6, edge.at, f.bottom + 5) for edge in edges),
        edges=edges,
    )


def build(
    *,
    key: str,
    title: str,
    readings: Sequence[Reading],
    unit: str,
    minimum: float | None = None,
    maximum: float | None = None,
    log: bool | None = None,
) -> LimitLine:
    """Readings on one scale against a minimum, a maximum or a range. ``log`` None: by the figures themselves."""
    figures = [v for r in readings for v in (r.value, r.low, r.high) if v is not None]
    figures += [edge for edge in (minimum, maximum) if edge is not None]
    if log is None:
        log = all(value > 0 for value in figures) and scale.spans_decades(figures)
    if log and not any(value > 0 for value in figures):
        log = False
    return LimitLine(
        key=key,
        title=title,
        unit=unit,
        minimum=minimum,
        maximum=maximum,
        log=log,
        readings=tuple(readings),
        wide=_draw(readings, unit, minimum, maximum, log, scale.WIDE),
        phone=_draw(readings, unit, minimum, maximum, log, scale.PHONE),
    )
