"""Find workshops near a point: approved, qualified for the work today, nearest first.

Candidates come from the index over what is public: strips of a tenth of a degree of latitude, longitude within the
strip, and the kinds of work as bits. The index may still name work whose proof ran out last night, so each candidate's
qualifications are looked at before it is given out; it never names too little. The circle grows from a coarse count
until enough are found. Distances are computed here, over the candidates only, and rows are ordered by the unrounded
distance, then by key.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, islice
from typing import Any, NamedTuple, Protocol

from django.db import connection
from django.db.models import F

from network import work
from network.geography import KM_PER_DEGREE, kilometres_from
from network.models import Membership, Qualification, Workshop
from network.models.workshops import band_of

HALF_ROUND = 20_100.0  # km: nothing on earth is farther away
COARSE = 0.25  # degrees to each side of the point, for a first count
FIRST_RADIUS = 60.0  # km, where that count finds nothing
GROWTH = 3.0
BEYOND = 3  # how many are named when none lies in the radius
BATCH = 30  # candidates whose qualifications are looked at together
ALL_AT_ONCE = 500  # so many are read in one go, where growing would ask again and again
STRIPS_NAMED = 60  # as many strips are named one by one: 6 degrees of latitude, a circle of some 330 km
TABLE = Workshop._meta.db_table
Point = tuple[float, float]  # latitude, longitude


class HasPoint(Protocol):
    latitude: float
    longitude: float


@dataclass(frozen=True, kw_only=True)
class Found:
    """A workshop with its distance and the valid proofs of its people."""

    workshop: Workshop
    distance_km: float
    proofs: tuple[Qualification, ...]

    @property
    def work(self) -> list[str]:
        """The codes of the work that it is qualified for today."""
        return work.from_bits(_covered(self.proofs))


@dataclass(frozen=True, kw_only=True)
class Near:
    """What lies in the radius; only when nothing does, up to three beyond it."""

    results: tuple[Found, ...]
    beyond: tuple[Found, ...]


def find_near(
    *, latitude: float, longitude: float, radius_km: float, work_codes: Iterable[str] = (), limit: int = 20
) -> Near:
    """Workshops qualified for all of the work, nearest first."""
    here, bits = (latitude, longitude), work.to_bits(work_codes)
    first = min(_first_radius(here, bits, limit), radius_km)
    inside = tuple(islice(_outwards(here, -1.0, first, radius_km, bits), limit))
    if inside:
        return Near(results=inside, beyond=())
    return Near(results=(), beyond=nearest_beyond(here, radius_km, bits))


def nearest_beyond(here: Point, radius_km: float, bits: int, most: int = BEYOND) -> tuple[Found, ...]:
    """The nearest workshops qualified for the work that lie farther than the radius."""
    outwards = _outwards(here, radius_km, max(radius_km * GROWTH, FIRST_RADIUS), HALF_ROUND, bits)
    return tuple(islice(outwards, most))


def kilometres_between(one: HasPoint, other: HasPoint) -> float:
    return kilometres_from(one.latitude, one.longitude)(other.latitude, other.longitude)


def approved_within(latitude: float, longitude: float, radius_km: float) -> int:
    """How many approved workshops lie in the radius, whatever they are qualified for."""
    here = (latitude, longitude)
    away = kilometres_from(*here)
    return sum(away(*point) <= radius_km for point in _indexed("latitude, longitude", _box(here, radius_km), None))


def proofs_of(workshops: Sequence[int]) -> dict[int, list[Qualification]]:
    """The valid qualifications of the active people of these workshops, by the workshop's key."""
    held: dict[int, list[Qualification]] = {}
    proofs = Qualification.objects.valid().filter(
        holder__is_active=True,
        holder__memberships__state=Membership.State.ACTIVE,
        holder__memberships__workshop__in=workshops,
    )
    rows = proofs.annotate(held_for=F("holder__memberships__workshop")).select_related("holder")
    for proof in rows.order_by("holder__memberships", "pk"):
        held.setdefault(proof.held_for, []).append(proof)
    return held


def _outwards(here: Point, inner: float, outer: float, most: float, bits: int) -> Iterator[Found]:
    """Qualified workshops with inner < distance <= most, nearest first; each is checked for today."""
    near = candidates(here, inner, outer, most, bits)
    while batch := list(islice(near, BATCH)):
        yield from _checked(batch, bits)


def candidates(here: Point, inner: float, outer: float, most: float, bits: int) -> Iterator[tuple[float, int]]:
    """Distance and key of what the index names, with inner < distance <= most, nearest first.

    Ring after ring, the first of which ends at `outer`. When a ring holds nothing the work is rare, or the place
    remote: then the rest is counted once and the next ring is made wide enough, instead of growing through emptiness.
    """
    counted, away = False, kilometres_from(*here)
    while True:
        near = [
            (distance, key)
            for key, latitude, longitude in _indexed("id, latitude, longitude", _box(here, outer), bits)
            if inner < (distance := away(latitude, longitude)) <= outer
        ]
        heapq.heapify(near)  # only as many are put in order as are asked for
        empty = not near
        while near:
            yield heapq.heappop(near)
        if outer >= most:
            return
        grown = outer * GROWTH
        if empty and not counted:
            counted = True
            if _few(here, most, bits):
                grown = most
        inner, outer = outer, min(grown, most)


def _few(here: Point, radius_km: float, bits: int) -> bool:
    """Whether so few lie in the radius that all of them are read at once."""
    return len(_indexed("id", _box(here, radius_km), bits, f"LIMIT {ALL_AT_ONCE + 1}")) <= ALL_AT_ONCE


def _first_radius(here: Point, bits: int, limit: int) -> float:
    """A radius that holds about twice as many as are asked for, by the count of what lies around the point."""
    latitude, longitude = here
    around = Box(_bands(latitude - COARSE, latitude + COARSE), ((longitude - COARSE, longitude + COARSE),))
    count = _indexed("count(*)", around, bits)[0][0]
    if not count:
        return FIRST_RADIUS
    side = 2 * COARSE * KM_PER_DEGREE
    area = side * side * max(math.cos(math.radians(latitude)), 0.01)
    return max(math.sqrt(2 * limit * area / count / math.pi), 1.0)


class Box(NamedTuple):
    """Strips of latitude, first and last, and ranges of longitude: what the index is entered by."""

    bands: tuple[int, int]
    longitudes: tuple[tuple[float, float], ...]


def _bands(south: float, north: float) -> tuple[int, int]:
    return band_of(max(south, -90.0)), band_of(min(north, 90.0))


def _box(here: Point, radius_km: float) -> Box:
    """The box round the circle; where it crosses the date line, in two parts."""
    latitude, longitude = here
    reach = radius_km / KM_PER_DEGREE + 1e-6  # a little more, so that rounding drops nobody
    bands = _bands(latitude - reach, latitude + reach)
    if abs(latitude) + reach >= 90.0:
        return Box(bands, ((-180.0, 180.0),))  # the circle holds a pole: every longitude
    ratio = math.sin(math.radians(reach)) / math.cos(math.radians(latitude))
    side = math.degrees(math.asin(min(1.0, ratio))) + 1e-6
    west, east = longitude - side, longitude + side
    if west < -180.0:
        return Box(bands, ((-180.0, east), (west + 360.0, 180.0)))
    if east > 180.0:
        return Box(bands, ((west, 180.0), (-180.0, east - 360.0)))
    return Box(bands, ((west, east),))


def _indexed(columns: str, box: Box, bits: int | None, end: str = "") -> list[tuple[Any, ...]]:
    """Columns of the public workshops in a box whose index of work holds every one of the bits (0: any work at all,
    None: whatever it holds), read from the index `workshop_public_near` alone.

    Written out, because putting such a statement together anew costs more than answering it, and because naming each
    strip lets the database go to the longitudes in it at once, where a range would read the whole way round the Earth.
    """
    first, last = box.bands
    if last - first < STRIPS_NAMED:
        strips: Sequence[float] = range(first, last + 1)
        conditions = f"band IN ({', '.join(['%s'] * len(strips))})"
    else:
        strips = box.bands
        conditions = "band BETWEEN %s AND %s"
    values: list[float] = [*strips, *chain.from_iterable(box.longitudes)]
    conditions += f" AND ({' OR '.join(['longitude BETWEEN %s AND %s'] * len(box.longitudes))})"
    if bits is not None:
        conditions += " AND (work_bits & %s) = %s" if bits else " AND work_bits <> 0"
        values += [bits, bits] if bits else []
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT {columns} FROM {TABLE} WHERE state = 'approved' AND {conditions} {end}", values)
        rows: list[tuple[Any, ...]] = cursor.fetchall()
    return rows


def _checked(near: Sequence[tuple[float, int]], bits: int) -> Iterator[Found]:
    """Those whose people hold valid proofs today for all of the work."""
    keys = [key for _distance, key in near]
    proofs = proofs_of(keys)
    workshops = Workshop.objects.in_bulk(keys)
    for distance, key in near:
        held = tuple(proofs.get(key, ()))
        if key in workshops and held and _covered(held) & bits == bits:
            yield Found(workshop=workshops[key], distance_km=distance, proofs=held)


def _covered(proofs: Iterable[Qualification]) -> int:
    bits = 0
    for proof in proofs:
        bits |= proof.work_bits
    return bits
