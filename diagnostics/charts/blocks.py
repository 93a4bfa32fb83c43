"""Many blocks or cells: each one's distance from the median as a bar, the weak ones in copper with their numbers.

Bars start at the median and not at zero, where fourteen blocks of 14.4 V would look alike whatever they did.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import ClassVar

from diagnostics.charts import scale


@dataclass(frozen=True, kw_only=True)
class Weak:
    """A block that stands out: its number and where its figure stands."""

    number: int
    x: float
    y: float


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
    middle: float
    even: str
    weak_bars: str
    weak: tuple[Weak, ...]
    texts: tuple[scale.Text, ...]
    x_ticks: tuple[scale.Tick, ...]
    y_ticks: tuple[scale.Tick, ...]
    grid: str
    limit_lines: str
    hatches: str


@dataclass(frozen=True, kw_only=True)
class Blocks:
    """The chart, the median, and the table of number, value, and whether it is weak."""

    template: ClassVar[str] = "charts/blocks.html"
    key: str
    title: str
    unit: str
    decimals: int
    median: float
    spread: float | None
    rows: tuple[tuple[int, float, bool], ...]
    wide: Drawing
    phone: Drawing


def _draw(values: Sequence[float], weak: frozenset[int], middle: float, spread: float | None, size: str) -> Drawing:
    width, left, right = (620, 60.0, 612.0) if size == scale.WIDE else (296, 48.0, 290.0)
    top, bottom = 30.0, 210.0
    furthest = max(1.25 * (spread or 0.0), *(abs(value - middle) for value in values))
    reach = furthest * 1.15 or abs(middle) * 0.01 or 1.0
    y = scale.Linear(middle - reach, middle + reach, bottom, top)
    pitch = (right - left) / max(len(values), 1)
    bar = min(22.0, max(1.0, pitch * 0.68))
    paths: dict[bool, list[str]] = {False: [], True: []}
    named = []
    for index, value in enumerate(values):
        centre, high, low = left + pitch * (index + 0.5), min(y(value), y(middle)), max(y(value), y(middle))
        # A block on the median is still there to be seen.
        paths[index + 1 in weak].append(scale.rectangle(centre - bar / 2, high, bar, max(low - high, 1.5)))
        if index + 1 in weak:
            named.append(Weak(number=index + 1, x=scale.rounded(centre), y=low + 17 if value < middle else high - 7))
    numbers = _numbers(len(values), 10 if size == scale.WIDE else 5)
    y_ticks = y.ticks(4)
    edges = [] if spread is None else [y(middle + spread), y(middle - spread)]
    return Drawing(
        size=size,
        width=width,
        height=bottom + 44,
        left=left,
        right=right,
        top=top,
        bottom=bottom,
        middle=y(middle),
        even=scale.joined(paths[False]),
        weak_bars=scale.joined(paths[True]),
        weak=tuple(named),
        texts=tuple(scale.Text(x=w.x, y=w.y, css="middle limit-word halo", words=str(w.number)) for w in named),
        x_ticks=tuple(
            scale.Tick(at=scale.rounded(left + pitch * (n - 0.5)), value=float(n), decimals=0) for n in numbers
        ),
        y_ticks=y_ticks,
        grid=scale.joined(scale.line(left, t.at, right, t.at) for t in y_ticks),
        limit_lines=scale.joined(scale.line(left, edge, right, edge) for edge in edges),
        hatches=scale.joined(
            scale.hatch(left, start, right - left, stop - start)
            for start, stop in ([(top, edges[0]), (edges[1], bottom)] if edges else [])
        ),
    )


def _numbers(count: int, most: int) -> list[int]:
    """The numbers written below: all of a few, else the first and every fifth, tenth or twentieth."""
    stride = next((s for s in (1, 2, 5, 10, 20, 50, 100, 500) if count / s <= most), 1000)
    numbers = list(range(stride, count + 1, stride))
    return numbers if stride == 1 else [1, *numbers]


def build(
    *,
    key: str,
    title: str,
    values: Sequence[float],
    unit: str,
    weak: Sequence[int] = (),
    spread: float | None = None,
    decimals: int = 2,
) -> Blocks:
    """Blocks in their order; ``weak`` holds numbers from 1; ``spread`` is the permitted distance from the median."""
    if not values:
        raise ValueError("a chart of blocks needs at least one block")
    middle, marked = float(median(values)), frozenset(weak)
    return Blocks(
        key=key,
        title=title,
        unit=unit,
        decimals=decimals,
        median=middle,
        spread=spread,
        rows=tuple((i + 1, float(value), i + 1 in marked) for i, value in enumerate(values)),
        wide=_draw(values, marked, middle, spread, scale.WIDE),
        phone=_draw(values, marked, middle, spread, scale.PHONE),
    )
