"""The ring of clearance as geometry: requirements are segments, and it is closed only when every one is met.

A waived requirement counts as settled, but stays visible as such: met's edge, hatched. Angles run clockwise from the
top in degrees; lengths are units of the 200 x 200 drawing.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

State = Literal["met", "next", "open", "waived"]

CENTRE = 100.0
OUTER = 94.0
INNER = 66.0
GAP = 3.2
CSS = {"met": "met", "next": "next-one", "open": "open", "waived": "waived"}


@dataclass(frozen=True, kw_only=True)
class Segment:
    """One requirement: its number, state, outline, hatching (waived only), and where its figure stands."""

    number: int
    state: State
    css: str
    start: float
    end: float
    d: str
    hatch: str
    x: float
    y: float


@dataclass(frozen=True, kw_only=True)
class Ring:
    """The whole ring. ``met`` counts waived ones as well; ``waived`` says how many of them."""

    segments: tuple[Segment, ...]
    met: int
    waived: int
    total: int
    closed: bool


def _point(angle: float, radius: float) -> tuple[float, float]:
    """The point at an angle clockwise from the top."""
    turned = math.radians(angle)
    return round(CENTRE + radius * math.sin(turned), 2), round(CENTRE - radius * math.cos(turned), 2)


def _outline(start: float, end: float) -> str:
    """Outer edge clockwise, inner edge back."""
    large = 1 if end - start > 180 else 0
    (ax, ay), (bx, by) = _point(start, OUTER), _point(end, OUTER)
    (cx, cy), (dx, dy) = _point(end, INNER), _point(start, INNER)
    return f"M{ax} {ay}A94 94 0 {large} 1 {bx} {by}L{cx} {cy}A66 66 0 {large} 0 {dx} {dy}Z"


def _hatch(start: float, end: float) -> str:
    """Short strokes across the segment, slanted against the radius, so that it needs no clipping."""
    slant = 8.0
    count = max(1, int((end - start - slant) // 4))
    strokes = []
    for index in range(count + 1):
        angle = start + (end - start - slant) * index / count
        (ax, ay), (bx, by) = _point(angle, INNER + 1), _point(angle + slant, OUTER - 1)
        strokes.append(f"M{ax} {ay}L{bx} {by}")
    return "".join(strokes)


def build(*, segments: Sequence[State]) -> Ring:
    """The ring for requirements in these states, first at the top, clockwise.

    ``ValueError`` when there is no requirement: a ring of nothing would be closed.
    """
    if not segments:
        raise ValueError("a ring needs at least one requirement")
    share = 360.0 / len(segments)
    drawn = []
    for index, state in enumerate(segments):
        start, end = index * share + GAP / 2, (index + 1) * share - GAP / 2
        x, y = _point((start + end) / 2, (OUTER + INNER) / 2)
        drawn.append(
            Segment(
                number=index + 1,
                state=state,
                css=CSS[state],
                start=start,
                end=end,
                d=_outline(start, end),
                hatch=_hatch(start, end) if state == "waived" else "",
                x=x,
                y=y,
            )
        )
    waived = sum(state == "waived" for state in segments)
    met = sum(state == "met" for state in segments) + waived
    return Ring(segments=tuple(drawn), met=met, waived=waived, total=len(segments), closed=met == len(segments))
