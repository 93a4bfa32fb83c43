"""A logged discharge: voltage above, current below, one clock; of each stretch the lowest and the highest value."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import ClassVar

from diagnostics.charts import scale

ROWS = 24  # of the table


@dataclass(frozen=True, kw_only=True)
class Panel:
    """One quantity of a drawing."""

    label: str
    css: str
    left: float
    top: float
    bottom: float
    d: str
    grid: str
    x_ticks: tuple[scale.Tick, ...]
    y_ticks: tuple[scale.Tick, ...]


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """One size of the chart."""

    size: str
    width: int
    height: float
    left: float
    right: float
    bottom: float
    panels: tuple[Panel, ...]
    gaps: str
    marks: str


@dataclass(frozen=True, kw_only=True)
class Trace:
    """The chart; ``rows`` is the table: time, lowest and highest voltage, lowest and highest current."""

    template: ClassVar[str] = "charts/trace.html"
    key: str
    title: str
    x_label: str
    volts: tuple[float, float]
    currents: tuple[float, float]
    gaps: tuple[tuple[float, float], ...]
    marks: tuple[float, ...]
    rows: tuple[tuple[float, float, float, float, float], ...]
    wide: Drawing
    phone: Drawing


def build(
    *,
    key: str,
    title: str,
    x_label: str,
    volt_label: str,
    ampere_label: str,
    at: Sequence[float],
    volts: tuple[Sequence[float], Sequence[float]],
    currents: tuple[Sequence[float], Sequence[float]],
    gaps: Sequence[tuple[float, float]] = (),
    marks: Sequence[float] = (),
) -> Trace:
    """Lowest and highest of each stretch; a gap is a hatched stretch without a line, a mark the start of a pulse."""
    labels = (volt_label, ampere_label)
    both = [_draw(size, labels, at, (volts, currents), gaps, marks) for size in (scale.WIDE, scale.PHONE)]
    return Trace(
        key=key,
        title=title,
        x_label=x_label,
        volts=(min(volts[0]), max(volts[1])),
        currents=(min(currents[0]), max(currents[1])),
        gaps=tuple(gaps),
        marks=tuple(marks),
        rows=tuple(_rows(at, volts, currents)),
        wide=both[0],
        phone=both[1],
    )


def _rows(
    at: Sequence[float],
    volts: tuple[Sequence[float], Sequence[float]],
    currents: tuple[Sequence[float], Sequence[float]],
) -> list[tuple[float, float, float, float, float]]:
    edges = [round(len(at) * part / ROWS) for part in range(ROWS + 1)]
    return [
        (
            at[start],
            min(volts[0][start:end]),
            max(volts[1][start:end]),
            min(currents[0][start:end]),
            max(currents[1][start:end]),
        )
        for start, end in pairwise(edges)
        if end > start
    ]


def _draw(
    size: str,
    labels: tuple[str, str],
    at: Sequence[float],
    quantities: tuple[tuple[Sequence[float], Sequence[float]], ...],
    gaps: Sequence[tuple[float, float]],
    marks: Sequence[float],
) -> Drawing:
    wide = size == scale.WIDE
    width, left, right, tall = (620, 56.0, 612.0, 130.0) if wide else (296, 44.0, 292.0, 110.0)
    last = max(at[-1], 1e-9)
    x = scale.Linear(0.0, last * 1.001, left, right)
    tops = (30.0, 30.0 + tall + 40.0)
    panels = []
    for label, (lowest, highest), top, css in zip(labels, quantities, tops, ("first", "third"), strict=True):
        y = scale.Linear(*scale.domain([*lowest, *highest], pad=0.08), top + tall, top)
        y_ticks = y.ticks(4)
        panels.append(
            Panel(
                label=label,
                css=css,
                left=left,
                top=top,
                bottom=top + tall,
                d=_path(x, y, at, lowest, highest, gaps),
                grid=scale.joined(scale.line(left, tick.at, right, tick.at) for tick in y_ticks),
                x_ticks=x.ticks(6 if wide else 4) if top > 30.0 else (),
                y_ticks=y_ticks,
            )
        )
    bottom = tops[1] + tall
    return Drawing(
        size=size,
        width=width,
        height=bottom + 44,
        left=left,
        right=right,
        bottom=bottom,
        panels=tuple(panels),
        gaps=scale.joined(
            scale.hatch(x(begun), top, max(x(end) - x(begun), 2.0), tall) for begun, end in gaps for top in tops
        ),
        marks=scale.joined(scale.line(x(mark), 22.0, x(mark), 30.0) for mark in marks),
    )


def _path(
    x: scale.Linear,
    y: scale.Linear,
    at: Sequence[float],
    lowest: Sequence[float],
    highest: Sequence[float],
    gaps: Sequence[tuple[float, float]],
) -> scale.Drawn:
    """From lowest to highest of each stretch and on to the next, interrupted at gaps."""
    runs: list[list[tuple[float, float]]] = [[]]
    ends = sorted(end for _begun, end in gaps)
    behind = 0
    for moment, low, high in zip(at, lowest, highest, strict=True):
        while behind < len(ends) and moment >= ends[behind]:
            behind += 1
            runs.append([])
        run = runs[-1]
        # The nearer end first: so a falling line isn't drawn as a saw.
        pair = [low, high] if not run or abs(run[-1][1] - y(low)) <= abs(run[-1][1] - y(high)) else [high, low]
        run += [(x(moment), y(value)) for value in (pair if low != high else pair[:1])]
    return scale.joined(scale.polyline(run) for run in runs if run)
