"""A sweep: what was measured at each commanded step. A stretch without a rise is drawn in copper."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import ClassVar

from diagnostics.charts import scale


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step: the command in percent, what followed, its uncertainty."""

    commanded: float
    measured: float
    uncertainty: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Point:
    """A step, drawn."""

    step: Step
    x: float
    y: float
    whisker: str


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
    points: tuple[Point, ...]
    whiskers: str
    dots: str
    rising: str
    flat: str
    flat_word: tuple[float, float] | None
    x_ticks: tuple[scale.Tick, ...]
    y_ticks: tuple[scale.Tick, ...]
    grid: str


@dataclass(frozen=True, kw_only=True)
class Steps:
    """The chart. ``flat`` holds, for each stretch without a rise, the number of the step that it begins at."""

    template: ClassVar[str] = "charts/steps.html"
    key: str
    title: str
    unit: str
    steps: tuple[Step, ...]
    flat: tuple[int, ...]
    wide: Drawing
    phone: Drawing

    @property
    def rows(self) -> list[tuple[float, float, float]]:
        """Command, what followed, and its uncertainty: the table."""
        return [(step.commanded, step.measured, step.uncertainty) for step in self.steps]


def _draw(steps: Sequence[Step], flat: Sequence[int], size: str) -> Drawing:
    width, left, right = (620, 60.0, 600.0) if size == scale.WIDE else (296, 48.0, 286.0)
    top, bottom = 30.0, 230.0 if size == scale.WIDE else 200.0
    tops = [step.measured + step.uncertainty for step in steps] or [1.0]
    x = scale.Linear(0.0, max([100.0, *(s.commanded for s in steps)]), left, right)
    y = scale.Linear(0.0, max(*tops, 0.0) * 1.1 or 1.0, bottom, top)
    points = tuple(
        Point(
            step=s,
            x=x(s.commanded),
            y=y(s.measured),
            whisker=scale.upright_whisker(y(s.measured - s.uncertainty), y(s.measured + s.uncertainty), x(s.commanded))
            if s.uncertainty
            else "",
        )
        for s in steps
    )
    stretches = [(i, scale.line(a.x, a.y, b.x, b.y)) for i, (a, b) in enumerate(pairwise(points))]
    y_ticks = y.ticks(5)
    first = points[flat[0]] if flat else None
    return Drawing(
        size=size,
        width=width,
        height=bottom + 44,
        left=left,
        right=right,
        top=top,
        bottom=bottom,
        points=points,
        whiskers=scale.joined(point.whisker for point in points),
        dots=scale.joined(scale.circle(point.x, point.y, 4) for point in points),
        rising=scale.joined(d for i, d in stretches if i not in flat),
        flat=scale.joined(d for i, d in stretches if i in flat),
        flat_word=((first.x + points[flat[0] + 1].x) / 2, first.y + 30) if first else None,
        x_ticks=x.ticks(5),
        y_ticks=y_ticks,
        grid=scale.joined(scale.line(left, t.at, right, t.at) for t in y_ticks),
    )


def build(*, key: str, title: str, steps: Sequence[Step], unit: str, flat: Sequence[int] = ()) -> Steps:
    """The sweep in the order of its steps; ``flat`` as the calculation found it."""
    ordered = tuple(sorted(steps, key=lambda step: step.commanded))
    return Steps(
        key=key,
        title=title,
        unit=unit,
        steps=ordered,
        flat=tuple(flat),
        wide=_draw(ordered, flat, scale.WIDE),
        phone=_draw(ordered, flat, scale.PHONE),
    )
