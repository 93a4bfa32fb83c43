"""The map of results, drawn by the portal itself: no map service learns where an owner is.

A flat projection round the searched place is exact enough for the few hundred kilometres of a search: east is
stretched by the cosine of the latitude. Lengths are units of the drawing.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import ClassVar, Literal

KM_PER_DEGREE = 111.195  # a degree of latitude on a sphere of 6371 km
CLOTH = 24.0  # the flag's side
STAFF = 15.0  # how far the flag flies above its spot


@dataclass(frozen=True, kw_only=True)
class Workshop:
    """A result: its number in the list and where it lies; inside the circle or only named."""

    number: int
    latitude: float
    longitude: float
    inside: bool = True


@dataclass(frozen=True, kw_only=True)
class Town:
    """A name to go by."""

    name: str
    latitude: float
    longitude: float


@dataclass(frozen=True, kw_only=True)
class Outline:
    """A river, a stream or a border as (latitude, longitude) points."""

    kind: Literal["river", "stream", "border"]
    points: Sequence[tuple[float, float]]


@dataclass(frozen=True, kw_only=True)
class Flag:
    """A workshop, drawn: the staff stands on the spot, the cloth flies to one side of its top.

    In a crowd the staff leans as far as the foot of the cloth (``staff_x``, ``foot_y``) and is upright from there.
    """

    number: int
    inside: bool
    x: float
    y: float
    staff_x: float
    foot_y: float
    cloth_x: float
    cloth_y: float
    figure_x: float
    figure_y: float


@dataclass(frozen=True, kw_only=True)
class Named:
    """A town, drawn: its square, and its name at the side where there is room."""

    name: str
    x: float
    y: float
    name_x: float
    name_y: float
    end: bool
    inside: bool


@dataclass(frozen=True, kw_only=True)
class Country:
    """A country's name somewhere on its land."""

    name: str
    x: float
    y: float


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """One size of the map."""

    size: str
    width: int
    height: int
    x: float
    y: float
    radius: float
    inner: float
    inner_word: tuple[float, float] | None
    radius_word: tuple[float, float]
    flags: tuple[Flag, ...]
    towns: tuple[Named, ...]
    countries: tuple[Country, ...]
    lines: tuple[tuple[str, str], ...]
    bar: float
    bar_km: int


@dataclass(frozen=True, kw_only=True)
class Map:
    """The map in both sizes."""

    template: ClassVar[str] = "charts/map.html"
    key: str
    title: str
    place: str
    radius_km: float
    wide: Drawing
    phone: Drawing


@dataclass(frozen=True)
class Projection:
    """Where a place lies in the drawing, the searched one in ``x``, ``y``."""

    latitude: float
    longitude: float
    x: float
    y: float
    per_km: float

    def __call__(self, latitude: float, longitude: float) -> tuple[float, float]:
        east = (longitude - self.longitude + 180) % 360 - 180
        across = east * KM_PER_DEGREE * math.cos(math.radians(self.latitude))
        up = (latitude - self.latitude) * KM_PER_DEGREE
        return round(self.x + across * self.per_km, 1), round(self.y - up * self.per_km, 1)


def _flags(workshops: Sequence[Workshop], at: Projection, width: int, height: int) -> tuple[Flag, ...]:
    """A flag for each workshop in the drawing, northern ones first so that longer staffs grow away from them."""
    flown: list[Flag] = []
    spots = [(one, *at(one.latitude, one.longitude)) for one in workshops]
    shown = [spot for spot in spots if 4 <= spot[1] <= width - 4 and CLOTH + STAFF <= spot[2] <= height - 4]
    for one, x, y in sorted(shown, key=lambda spot: spot[2]):
        staff_x, cloth_x, cloth_y = _free(flown, x, y, width)
        flown.append(
            Flag(
                number=one.number,
                inside=one.inside,
                x=x,
                y=y,
                staff_x=round(staff_x, 1),
                foot_y=round(cloth_y + CLOTH, 1),
                cloth_x=round(cloth_x, 1),
                cloth_y=round(cloth_y, 1),
                figure_x=round(cloth_x + CLOTH / 2, 1),
                figure_y=round(cloth_y + CLOTH / 2, 1),
            )
        )
    return tuple(sorted(flown, key=lambda flag: flag.number))


def _free(flown: Sequence[Flag], x: float, y: float, width: int) -> tuple[float, float, float]:
    """Where staff and cloth fly free, nearest first: to the right, to the left, on a longer staff, on a leaning one.

    In a crowd where nothing is free it flies to the right all the same: the list beside the map names every one.
    """
    top = y - CLOTH - STAFF
    leans = [x, x + CLOTH, x - CLOTH, x + 2 * CLOTH, x - 2 * CLOTH, x + 3 * CLOTH, x - 3 * CLOTH]
    for staff in leans:
        for lift in (0.0, 6.0, -6.0, 12.0, 18.0, 24.0, 30.0, 36.0, 42.0, 48.0):
            for side in (staff, staff - CLOTH):
                fits = 4 <= side <= width - CLOTH - 4 and top - lift >= 2
                if fits and not _taken(flown, side, top - lift):
                    return staff, side, top - lift
    return x, x if x + CLOTH <= width - 4 else x - CLOTH, top


def _taken(flown: Sequence[Flag], x: float, y: float) -> bool:
    """Whether a cloth there would cover another one."""
    return any(abs(flag.cloth_x - x) < CLOTH and abs(flag.cloth_y - y) < CLOTH for flag in flown)


def _towns(
    towns: Sequence[Town],
    at: Projection,
    flags: Sequence[Flag],
    radius: float,
    inner_word: tuple[float, float],
    size: tuple[int, int],
    most: int,
) -> tuple[Named, ...]:
    """As many names as fit without lying on each other, on a flag or on the searched place."""
    width, height = size
    boxes = [(f.cloth_x, f.cloth_y, f.cloth_x + CLOTH, f.y) for f in flags]
    boxes.append((at.x - 56, at.y - 16, at.x + 16, at.y + 16))
    boxes.append((inner_word[0] - 40, inner_word[1] - 12, inner_word[0], inner_word[1] + 4))
    placed: list[Named] = []
    for town in towns:
        x, y = at(town.latitude, town.longitude)
        long = 7.2 * len(town.name)
        if len(placed) == most or not (8 <= x <= width - 8 and 14 <= y <= height - 30):
            continue
        for end in (False, True):
            start = x - 9 - long if end else x + 9
            box = (start, y - 9, start + long, y + 9)
            if start < 4 or start + long > width - 4 or any(_overlap(box, other) for other in boxes):
                continue
            boxes.append((min(start, x - 5), y - 9, max(start + long, x + 5), y + 9))
            inside = math.hypot(x - at.x, y - at.y) < radius
            name_x = x - 9 if end else x + 9
            placed.append(Named(name=town.name, x=x, y=y, name_x=name_x, name_y=y, end=end, inside=inside))
            break
    return tuple(placed)


def _overlap(one: tuple[float, float, float, float], other: tuple[float, float, float, float]) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _path(points: Sequence[tuple[float, float]], width: int, height: int) -> str:
    """Strokes through the points; what lies wholly beside the drawing is left out."""
    strokes, pen = [], False
    for (ax, ay), (bx, by) in pairwise(points):
        near = min(ax, bx) <= width and max(ax, bx) >= 0 and min(ay, by) <= height and max(ay, by) >= 0
        if near:
            strokes.append(f"L{bx:g} {by:g}" if pen else f"M{ax:g} {ay:g}L{bx:g} {by:g}")
        pen = near
    return "".join(strokes)


def _bar_km(per_km: float) -> int:
    """The longest round distance that stays under a hundred units."""
    return max((km for km in (1, 2, 5, 10, 20, 50, 100, 200, 500) if km * per_km <= 100), default=1)


def _draw(
    size: str,
    centre: tuple[float, float],
    radius_km: float,
    reach_km: float,
    workshops: Sequence[Workshop],
    towns: Sequence[Town],
    countries: Sequence[Town],
    outlines: Sequence[Outline],
) -> Drawing:
    width, height = (464, 760) if size == "wide" else (328, 310)
    # What is to be seen almost fills the narrower side, and leaves room for what lies just beyond it.
    per_km = min(width, height) * 0.43 / reach_km
    radius = round(radius_km * per_km, 1)
    at = Projection(centre[0], centre[1], round(width * 0.45, 1), round(height * 0.5, 1), per_km)
    flags = _flags(workshops, at, width, height)
    inner = round(10 * per_km, 1) if radius_km > 12 else 0.0
    lines = []
    for outline in outlines:
        d = _path([at(*point) for point in outline.points], width, height)
        if d:
            lines.append((outline.kind, d))
    named = []
    for country in countries:
        x, y = at(country.latitude, country.longitude)
        if 40 <= x <= width - 40 and 20 <= y <= height - 40:
            named.append(Country(name=country.name, x=x, y=y))
    slant = math.sqrt(0.5)
    word_at = (round(at.x - inner * slant - 2, 1), round(at.y - inner * slant - 3, 1))
    bar_km = _bar_km(per_km)
    return Drawing(
        size=size,
        width=width,
        height=height,
        x=at.x,
        y=at.y,
        radius=radius,
        inner=inner,
        inner_word=word_at if inner > 30 else None,
        radius_word=(round(at.x - radius * slant - 2, 1), round(at.y + radius * slant + 16, 1)),
        flags=flags,
        towns=_towns(towns, at, flags, radius, word_at, (width, height), 14 if size == "wide" else 5),
        countries=tuple(named),
        lines=tuple(lines),
        bar=round(bar_km * per_km, 1),
        bar_km=bar_km,
    )


def build(
    *,
    key: str = "map",
    title: str,
    place: str,
    latitude: float,
    longitude: float,
    radius_km: float,
    reach_km: float = 0.0,
    workshops: Sequence[Workshop],
    towns: Sequence[Town] = (),
    countries: Sequence[Town] = (),
    outlines: Sequence[Outline] = (),
) -> Map:
    """The map round a searched place, as far as its circle or `reach_km`, whichever is more.

    Towns are tried in their order, so the larger ones come first.
    """
    if radius_km <= 0:
        raise ValueError("the radius of a search is above zero")
    reach = max(radius_km, reach_km)
    both = [
        _draw(size, (latitude, longitude), radius_km, reach, workshops, towns, countries, outlines)
        for size in ("wide", "phone")
    ]
    return Map(key=key, title=title, place=place, radius_km=radius_km, wide=both[0], phone=both[1])
