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
from itertools import islice
from typing import Protocol

from django.db.models import Count, F, Q

from network import work
from network.geography import KM_PER_DEGREE, great_circle_km
from network.models import Membership, Qualification, Workshop
from network.models.workshops import WorkshopQuerySet, band_of

HALF_ROUND = 20_100.0  # km: nothing on earth is farther away
COARSE = 0.25  # degrees to each side of the point, for a first count
FIRST_RADIUS = 60.0  # km, where that count finds nothing
GROWTH = 3.0
BEYOND = 3  # how many are named when none lies in the radius
BATCH = 30  # candidates whose qualifications are looked at together
ALL_AT_ONCE = 500  # so many are read in one go, where growing would ask again and again
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
    return _km((one.latitude, one.longitude), (other.latitude, other.longitude))


def approved_within(latitude: float, longitude: float, radius_km: float) -> int:
    """How many approved workshops lie in the radius, whatever they are qualified for."""
    here = (latitude, longitude)
    points = _box(Workshop.objects.public(), here, radius_km).values_list("latitude", "longitude")
    return sum(_km(here, point) <= radius_km for point in points)


def proofs_of(workshops: Sequence[int]) -> dict[int, list[Qualification]]:
    """The valid qualifications of the active people of these workshops, by the workshop's key."""
    memberships = list(
        Membership.objects.active()
        .filter(workshop__in=workshops, person__is_active=True)
        .order_by("pk")
        .values_list("person_id", "workshop_id")
    )
    held: dict[int, list[Qualification]] = {}
    of_person: dict[int, list[Qualification]] = {}
    people = {person for person, _workshop in memberships}
    for proof in Qualification.objects.valid().filter(holder__in=people).select_related("holder").order_by("pk"):
        of_person.setdefault(proof.holder_id, []).append(proof)
    for person, workshop in memberships:
        held.setdefault(workshop, []).extend(of_person.get(person, []))
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
    counted = False
    while True:
        near = [
            (distance, key)
            for key, *point in _covering(_box(Workshop.objects.public(), here, outer), bits).values_list(
                "pk", "latitude", "longitude"
            )
            if inner < (distance := _km(here, (point[0], point[1]))) <= outer
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
    keys = _covering(_box(Workshop.objects.public(), here, radius_km), bits).values_list("pk")
    return len(keys[: ALL_AT_ONCE + 1]) <= ALL_AT_ONCE


def _first_radius(here: Point, bits: int, limit: int) -> float:
    """A radius that holds about twice as many as are asked for, by the count of what lies around the point."""
    latitude, longitude = here
    around = Workshop.objects.public().filter(
        band__range=(band_of(latitude - COARSE), band_of(latitude + COARSE)),
        longitude__range=(longitude - COARSE, longitude + COARSE),
    )
    count = _covering(around, bits).aggregate(n=Count("*"))["n"]
    if not count:
        return FIRST_RADIUS
    side = 2 * COARSE * KM_PER_DEGREE
    area = side * side * max(math.cos(math.radians(latitude)), 0.01)
    return max(math.sqrt(2 * limit * area / count / math.pi), 1.0)


def _covering(rows: WorkshopQuerySet, bits: int) -> WorkshopQuerySet:
    """Drops workshops whose index of work lacks one of the bits, or names none at all."""
    if not bits:
        return rows.exclude(work_bits=0)
    return rows.annotate(covered=F("work_bits").bitand(bits)).filter(covered=bits)


def _box(rows: WorkshopQuerySet, here: Point, radius_km: float) -> WorkshopQuerySet:
    """Drops workshops outside of the box round the circle."""
    latitude, longitude = here
    reach = radius_km / KM_PER_DEGREE + 1e-6  # a little more, so that rounding drops nobody
    rows = rows.filter(
        band__range=(band_of(max(latitude - reach, -90.0)), band_of(min(latitude + reach, 90.0))),
    )
    if abs(latitude) + reach >= 90.0:
        return rows  # the circle holds a pole: every longitude
    ratio = math.sin(math.radians(reach)) / math.cos(math.radians(latitude))
    side = math.degrees(math.asin(min(1.0, ratio))) + 1e-6
    west, east = longitude - side, longitude + side
    if west < -180.0:
        return rows.filter(Q(longitude__lte=east) | Q(longitude__gte=west + 360.0))
    if east > 180.0:
        return rows.filter(Q(longitude__gte=west) | Q(longitude__lte=east - 360.0))
    return rows.filter(longitude__range=(west, east))


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


def _km(one: Point, other: Point) -> float:
    return great_circle_km(latitude_1=one[0], longitude_1=one[1], latitude_2=other[0], longitude_2=other[1])
