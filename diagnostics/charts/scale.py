"""Scales, ticks and hatching: the arithmetic that all charts share."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

WIDE = "wide"
PHONE = "phone"


class Drawn(str):
    """Path data, made here of figures and letters only: a template need not search it for what it must escape."""

    __slots__ = ()

    def __html__(self) -> str:
        return self


@dataclass(frozen=True, kw_only=True)
class Tick:
    """A figure on an axis: where it stands, what it says and with how many decimals; strong for a limit."""

    at: float
    value: float
    decimals: int
    strong: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Text:
    """What stands at a place of the drawing: words, or a figure that the reader's language writes, with its unit.

    ``style`` says how the figure is written: ``fixed`` or ``signed`` with ``digits`` decimals, ``figure`` with so many
    significant digits. ``before`` is a sign such as "> ".
    """

    x: float
    y: float
    css: str = ""
    words: str = ""
    value: float | None = None
    style: Literal["fixed", "signed", "figure"] = "fixed"
    digits: int = 0
    before: str = ""
    unit: str = ""


@dataclass(frozen=True)
class Linear:
    """Equal steps: ``low`` lies at ``start``, ``high`` at ``end`` (which may be the smaller of the two)."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return round(self.start + share * (self.end - self.start), 2)

    def ticks(self, count: int = 5) -> tuple[Tick, ...]:
        """Ticks at round values, about so many."""
        step = nice_step(self.high - self.low, count)
        decimals = decimals_of(step)
        first = math.ceil(round(self.low / step, 9))
        last = math.floor(round(self.high / step, 9))
        values = [round(index * step, decimals) + 0.0 for index in range(first, last + 1)]
        return tuple(Tick(at=self(value), value=value, decimals=decimals) for value in values)


@dataclass(frozen=True)
class Log:
    """Equal ratios; both ends above zero. What is not positive lies at the low end."""

    low: float
    high: float
    start: float
    end: float

    def __post_init__(self) -> None:
        """An end that a limit near the smallest float has pushed to zero is put back above it."""
        object.__setattr__(self, "low", max(self.low, 1e-300))
        object.__setattr__(self, "high", max(self.high, 10.0 * self.low))

    def __call__(self, value: float) -> float:
        if value <= self.low:
            return round(self.start, 2)
        # Logarithms one by one: the ratio of the largest and the smallest float overflows.
        share = (math.log(value) - math.log(self.low)) / (math.log(self.high) - math.log(self.low))
        return round(self.start + share * (self.end - self.start), 2)

    def ticks(self, count: int = 5) -> tuple[Tick, ...]:
        """Ticks at powers of ten; every second or third one where they would outnumber ``count`` too far."""
        first, last = math.ceil(round(math.log10(self.low), 9)), math.floor(round(math.log10(self.high), 9))
        first = max(first, -300)  # below it a power of ten is no float any more
        stride = max(1, math.ceil((last - first + 1) / max(count + 1, 2)))
        powers = range(first, last + 1, stride)
        return tuple(Tick(at=self(10.0**n), value=10.0**n, decimals=max(0, -n)) for n in powers)


Scale = Linear | Log


def nice_step(span: float, count: int = 5) -> float:
    """The step of 1, 2 or 5 times a power of ten that cuts the span into about so many parts.

    Example:
        >>> nice_step(30, 5), nice_step(0.7, 4)
        (5.0, 0.2)
    """
    if not (span > 0 and math.isfinite(span)):
        raise ValueError("a scale needs a span above zero")
    raw = span / max(count, 1)
    power = 10.0 ** math.floor(math.log10(raw))
    return min((factor * power for factor in (1.0, 2.0, 5.0, 10.0)), key=lambda step: abs(math.log(step / raw)))


def decimals_of(step: float) -> int:
    """As many decimals as tell two neighbouring ticks apart: 0 for 5, 1 for 0.5, 2 for 0.02."""
    for decimals in range(10):
        if math.isclose(round(step, decimals), step, rel_tol=1e-9):
            return decimals
    return 10


def domain(values: Iterable[float], *, pad: float = 0.06, zero: bool = False) -> tuple[float, float]:
    """Low and high end with room on both sides; from zero where the quantity has one. Equal values get room as well."""
    finite = [value for value in values if math.isfinite(value)]
    if not finite:
        return 0.0, 1.0
    low, high = min(finite), max(finite)
    if zero:
        low, high = min(0.0, low), max(0.0, high)
    room = (high - low) * pad or abs(high) * 0.1 or 1.0
    return (low if zero and low == 0 else low - room), (high if zero and high == 0 else high + room)


def spans_decades(values: Iterable[float], ratio: float = 60.0) -> bool:
    """Whether positive values lie so far apart that only equal ratios show them all."""
    positive = [value for value in values if value > 0 and math.isfinite(value)]
    return bool(positive) and max(positive) / min(positive) >= ratio


def rounded(value: float) -> float:
    """A length as it is written into a drawing."""
    return round(value, 2)


def joined(parts: Iterable[str]) -> Drawn:
    """Several pieces of path data as one."""
    return Drawn("".join(parts))


def line(x1: float, y1: float, x2: float, y2: float) -> Drawn:
    """One stroke as path data."""
    return Drawn(f"M{x1:.5g} {y1:.5g}L{x2:.5g} {y2:.5g}")


def polyline(points: Sequence[tuple[float, float]], *, closed: bool = False) -> Drawn:
    """Strokes through all points as path data, back to the first when closed."""
    if not points:
        return Drawn("")
    return Drawn("M" + "L".join(f"{x:.5g} {y:.5g}" for x, y in points) + ("Z" if closed else ""))


def rectangle(x: float, y: float, width: float, height: float) -> Drawn:
    """A closed rectangle as path data."""
    return Drawn(f"M{x:.5g} {y:.5g}h{width:.5g}v{height:.5g}h{-width:.5g}Z")


def diamond(x: float, y: float, half: float = 6.5) -> Drawn:
    """A diamond as path data."""
    h = f"{half:g}"
    return Drawn(f"M{x:.5g} {y - half:.5g}l{h} {h}l-{h} {h}l-{h}-{h}Z")


def circle(x: float, y: float, radius: float) -> Drawn:
    """A full circle as path data."""
    r, across = f"{radius:g}", f"{2 * radius:g}"
    return Drawn(f"M{x - radius:.5g} {y:.5g}a{r} {r} 0 1 0 {across} 0a{r} {r} 0 1 0-{across} 0Z")


def cross(x: float, y: float, half: float = 5.0) -> Drawn:
    """Two slanting strokes that cross at a point."""
    return joined((line(x - half, y - half, x + half, y + half), line(x - half, y + half, x + half, y - half)))


def arrowhead(x: float, y: float, *, down: bool = False, up: bool = False) -> Drawn:
    """A filled head whose tip is at the point, flying to the right, down or up."""
    return Drawn(f"M{x:.5g} {y:.5g}" + ("l-5-10h10Z" if down else "l-5 10h10Z" if up else "l-10-5v10Z"))


def whisker(low: float, high: float, across: float, *, end: float = 5.5) -> Drawn:
    """A level whisker from low to high at height ``across``, with end ticks."""
    ticks = [line(at, across - end, at, across + end) for at in (low, high)]
    return joined((line(low, across, high, across), *ticks))


def upright_whisker(low: float, high: float, across: float, *, end: float = 5.5) -> Drawn:
    """The same, standing at ``across``."""
    ticks = [line(across - end, at, across + end, at) for at in (low, high)]
    return joined((line(across, low, across, high), *ticks))


def hatch(x: float, y: float, width: float, height: float, *, gap: float = 8.0) -> Drawn:
    """45 degree strokes that fill a rectangle exactly, so that neither clipping nor a pattern is needed."""
    if width <= 0 or height <= 0:
        return Drawn("")
    gap = max(gap, (width + height) / 1000)  # an end far off the drawing must not take for ever
    strokes = []
    # Each stroke runs from lower left to upper right: u + v is constant, with u to the right and v downwards.
    total = gap / 2
    while total < width + height:
        u_low, u_high = max(0.0, total - height), min(width, total)
        strokes.append(f"M{x + u_low:.5g} {y + total - u_low:.5g}L{x + u_high:.5g} {y + total - u_high:.5g}")
        total += gap
    return joined(strokes)
