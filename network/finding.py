"""Find workshops near a point: approved, qualified for the work today, nearest first.

Candidates come from the index over what is public: strips of a tenth of a degree of latitude, longitude within the
strip, and the kinds of work as bits. The index may still name work whose proof ran out last night, so each candidate's
qualifications are looked at before it is given out; it never names too little. Distances are computed here, over the
candidates only, and rows are ordered by the unrounded distance, then by key.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from django.db.models import F, Q

from network import work
from network.geography import great_circle_km
from network.models import Membership, Qualification, Workshop
from network.models.workshops import band_of

KM_PER_DEGREE = 6371.0088 * math.pi / 180
HALF_ROUND = 20_100.0  # km: nothing on earth is farther away
FIRST_RADIUS = 60.0
GROWTH = 3.0
BATCH = 50  # candidates whose qualifications are looked at together


@dataclass(frozen=True, kw_only=True)
class Found:
    """A workshop with its distance and the valid proofs of its people."""

    workshop: Workshop
    distance_km: float
    proofs: tuple[Qualification, ...]

    @property
    def work(self) -> list[str]:
        """The codes of the work that it is qualified for today."""
        bits = 0
        for proof in self.proofs:
            bits |= proof.work_bits
        return work.from_bits(bits)


@dataclass(frozen=True, kw_only=True)
class Near:
    """What lies in the radius; only when nothing does, up to three beyond it."""

    results: tuple[Found, ...]
    beyond: tuple[Found, ...]


def find_near(
    *, latitude: float, longitude: float, radius_km: float, work_codes: Iterable[str] = (), limit: int = 20
) -> Near:
    """Workshops qualified for all of the work, nearest first."""
    bits = work.to_bits(work_codes)
    inside = tuple(islice(_qualified(latitude, longitude, 0.0, radius_km, bits), limit))
    if inside:
        return Near(results=inside, beyond=())
    return Near(results=(), beyond=tuple(islice(_growing(latitude, longitude, radius_km, bits), 3)))


def _growing(latitude: float, longitude: float, beyond_km: float, bits: int) -> Iterator[Found]:
    """Qualified workshops farther than `beyond_km`, ring after ring outwards."""
    inner = beyond_km
    while inner < HALF_ROUND:
        outer = max(inner * GROWTH, FIRST_RADIUS)
        yield from _qualified(latitude, longitude, inner, outer, bits)
        inner = outer


def _qualified(latitude: float, longitude: float, beyond_km: float, within_km: float, bits: int) -> Iterator[Found]:
    """Workshops with beyond < distance <= within (all from 0 where beyond is 0), checked against valid proofs."""
    rows = _candidates(latitude, longitude, within_km, bits)
    near = []
    for key, row_latitude, row_longitude in rows:
        distance = great_circle_km(
            latitude_1=latitude, longitude_1=longitude, latitude_2=row_latitude, longitude_2=row_longitude
        )
        if distance <= within_km and (distance > beyond_km or beyond_km == 0.0):
            near.append((distance, key))
    near.sort()
    for start in range(0, len(near), BATCH):
        yield from _checked(near[start : start + BATCH], bits)


def _candidates(latitude: float, longitude: float, radius_km: float, bits: int) -> Iterable[tuple[int, float, float]]:
    """Keys and points of public workshops in the box around the circle whose indexed work covers the bits."""
    reach = radius_km / KM_PER_DEGREE + 1e-6
    rows = Workshop.objects.public().filter(
        band__range=(band_of(max(latitude - reach, -90.0)), band_of(min(latitude + reach, 90.0))),
    )
    if bits:
        rows = rows.annotate(covered=F("work_bits").bitand(bits)).filter(covered=bits)
    else:
        rows = rows.exclude(work_bits=0)  # nobody there is qualified for anything
    return rows.filter(_longitudes(latitude, longitude, radius_km)).values_list("pk", "latitude", "longitude")


def _longitudes(latitude: float, longitude: float, radius_km: float) -> Q:
    """The longitudes that the circle touches; all of them where it holds a pole."""
    angle = radius_km / 6371.0088
    if abs(latitude) + math.degrees(angle) >= 90.0:
        return Q()
    reach = math.degrees(math.asin(min(1.0, math.sin(angle) / math.cos(math.radians(latitude))))) + 1e-6
    west, east = longitude - reach, longitude + reach
    if west < -180.0:
        return Q(longitude__lte=east) | Q(longitude__gte=west + 360.0)
    if east > 180.0:
        return Q(longitude__gte=west) | Q(longitude__lte=east - 360.0)
    return Q(longitude__range=(west, east))


def _checked(near: Sequence[tuple[float, int]], bits: int) -> Iterator[Found]:
    """Those whose people hold valid proofs today for all of the work."""
    keys = [key for _distance, key in near]
    proofs = proofs_of(keys)
    workshops = Workshop.objects.in_bulk(keys)
    for distance, key in near:
        held = proofs.get(key, ())
        covered = 0
        for proof in held:
            covered |= proof.work_bits
        if held and covered & bits == bits:
            yield Found(workshop=workshops[key], distance_km=distance, proofs=tuple(held))


def proofs_of(workshops: Sequence[int]) -> dict[int, list[Qualification]]:
    """The valid qualifications of the active people of these workshops, by the workshop's key."""
    memberships = list(
        Membership.objects.active()
        .filter(workshop__in=workshops, person__is_active=True)
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


def approved_within(latitude: float, longitude: float, radius_km: float) -> int:
    """How many approved workshops lie in the radius, whatever they are qualified for."""
    reach = radius_km / KM_PER_DEGREE + 1e-6
    points = (
        Workshop.objects.public()
        .filter(band__range=(band_of(max(latitude - reach, -90.0)), band_of(min(latitude + reach, 90.0))))
        .filter(_longitudes(latitude, longitude, radius_km))
        .values_list("latitude", "longitude")
    )
    return sum(
        great_circle_km(latitude_1=latitude, longitude_1=longitude, latitude_2=lat, longitude_2=lon) <= radius_km
        for lat, lon in points
    )
