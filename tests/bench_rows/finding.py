"""Finding workshops among 100 000, against PostGIS and a tree in memory; and among 1 000, against a bare query.

What is compared is the candidates, nearest first: the part that an engine of places does. The whole answer (with the
people's proofs for today) has a row of its own, whose reference adds the same look at proofs to the engine's answer.
PostGIS is installed here, on Debian, where the server is ours; it is no part of the product.
"""

from __future__ import annotations

import datetime
import math
import random
import subprocess
from collections.abc import Callable, Iterator
from functools import cache
from itertools import islice
from typing import Any

import numpy as np
from django.db import connection
from scipy.spatial import cKDTree

from network import finding, geography, work
from network.models import Membership, Qualification, Region, User, Workshop
from network.models.workshops import band_of
from tests.bench_rows import POSTGRESQL, SQLITE, Pair, in_turns, row

RARE = work.to_bits(["board_repair"])  # held by one workshop in a thousand
COMMON = work.to_bits(["inverter"])
RARE_GOAL = 50.0  # ms, a figure of the design that has no engine beside it
Point = tuple[float, float]


@cache
def filled(count: int) -> list[Point]:
    """So many approved workshops in and around four hundred towns; the points to search from."""
    chance = random.Random(7)
    region = Region.objects.get_or_create(code="bench", defaults={"name": "Bench"})[0]
    towns = [(chance.uniform(43, 54), chance.uniform(-1, 15), chance.paretovariate(1.2)) for _ in range(400)]
    chosen = chance.choices(towns, weights=[size for *_point, size in towns], k=count)
    shops = []
    for number, (latitude, longitude, _size) in enumerate(chosen):
        at = latitude + chance.gauss(0, 0.15), longitude + chance.gauss(0, 0.2)
        bits = (COMMON if chance.random() < 0.5 else 0) | work.to_bits(["general_diagnosis"])
        bits |= RARE if number % 1000 == 0 else 0
        shops.append(_workshop(number, at, region, bits))
    Workshop.objects.bulk_create(shops, batch_size=2000)
    people = [User(email=f"p{n}@bench.example", name=f"Person {n}") for n in range(count)]
    User.objects.bulk_create(people, batch_size=2000)
    pairs = list(zip(people, shops, strict=True))
    Membership.objects.bulk_create(
        [Membership(person=who, workshop=shop, role="technician", state="active") for who, shop in pairs],
        batch_size=2000,
    )
    until = datetime.date.today() + datetime.timedelta(days=400)
    Qualification.objects.bulk_create(
        [
            Qualification(
                holder=who, title="Level 3", issuer="Bench Institute", certificate=f"B-{shop.pk}", expires_on=until,
                work_bits=shop.work_bits, state="verified", verified_by=people[0], verified_on=datetime.date.today(),
            )
            for who, shop in pairs
        ],
        batch_size=2000,
    )  # fmt: skip
    _settled()
    return [(latitude, longitude) for latitude, longitude, _size in towns[:60]]


def _settled() -> None:
    """What PostgreSQL does by itself a minute after such a change, and SQLite on `PRAGMA optimize`."""
    with connection.cursor() as cursor:
        cursor.execute("VACUUM ANALYZE" if connection.vendor == "postgresql" else "ANALYZE")


def _workshop(number: int, at: Point, region: Region, bits: int) -> Workshop:
    return Workshop(
        name=f"Bench {number}", street="Dok 1", postcode="4020", town="Liège", country="BE", latitude=at[0],
        longitude=at[1], band=band_of(at[0]), region=region, email=f"w{number}@bench.example", phone="+49 30 23125 001",
        business_number=str(number), state="approved", work_bits=bits,
    )  # fmt: skip


def ours(here: Point, radius_km: float, bits: int = COMMON, limit: int = 20) -> list[int]:
    """Keys of the nearest candidates, as `find_near` asks for them."""
    first = min(finding._first_radius(here, bits, limit), radius_km)
    return [key for _distance, key in islice(finding.candidates(here, -1.0, first, radius_km, bits), limit)]


def brute(here: Point, radius_km: float, bits: int = COMMON, limit: int = 20) -> list[int]:
    """The same by measuring everything (numpy, haversine): what both must equal."""
    keys, latitudes, longitudes, held = columns()
    y, x = math.radians(here[0]), math.radians(here[1])
    h = np.sin((latitudes - y) / 2) ** 2 + math.cos(y) * np.cos(latitudes) * np.sin((longitudes - x) / 2) ** 2
    away = np.where(held & bits == bits, 2 * geography.MEAN_RADIUS_KM * np.arcsin(np.sqrt(h)), np.inf)
    nearest = np.argsort(away, kind="stable")[:limit]
    return [int(keys[place]) for place in nearest if away[place] <= radius_km]


@cache
def columns() -> tuple[Any, ...]:
    keys, latitudes, longitudes, held = (np.array(column) for column in zip(*everything(), strict=True))
    return keys, np.radians(latitudes), np.radians(longitudes), held


@cache
def everything() -> list[tuple[int, float, float, int]]:
    return list(Workshop.objects.public().order_by("pk").values_list("pk", "latitude", "longitude", "work_bits"))


class Tree:
    """scipy's cKDTree over points on the unit sphere, everything in memory, those with the common work only."""

    def __init__(self, bits: int) -> None:
        held = [one for one in everything() if one[3] & bits == bits]
        self.keys = np.array([key for key, *_rest in held])
        self.tree = cKDTree(np.array([self._at(y, x) for _key, y, x, _bits in held]))

    @staticmethod
    def _at(latitude: float, longitude: float) -> tuple[float, float, float]:
        y, x = math.radians(latitude), math.radians(longitude)
        return math.cos(y) * math.cos(x), math.cos(y) * math.sin(x), math.sin(y)

    def near(self, here: Point, radius_km: float, limit: int = 20) -> list[int]:
        chord = 2 * math.sin(min(radius_km / 6371.0088, math.pi) / 2)
        found = self.tree.query(self._at(*here), k=limit, distance_upper_bound=chord)
        distances, places = (np.atleast_1d(one) for one in found)
        return [int(self.keys[place]) for place in places[np.isfinite(distances)]]


class PostGis:
    """The nearest-neighbour operator, with and without the radius as a condition of its own."""

    def __init__(self) -> None:
        with connection.cursor() as cursor:
            cursor.execute("SELECT count(*) FROM pg_available_extensions WHERE name = 'postgis'")
            if not cursor.fetchone()[0]:
                subprocess.run(
                    "apt-get update -qq && apt-get install -y -qq --no-install-recommends postgresql-15-postgis-3",
                    shell=True, check=True, capture_output=True,
                )  # fmt: skip
            cursor.execute("CREATE EXTENSION IF NOT EXISTS postgis")
            cursor.execute(
                "DROP TABLE IF EXISTS bench_points; CREATE TABLE bench_points AS SELECT id, work_bits,"
                " ST_SetSRID(ST_MakePoint(longitude, latitude), 4326)::geography AS at FROM network_workshop"
                " WHERE state = 'approved'; CREATE INDEX ON bench_points USING gist (at)"
            )
            cursor.execute("VACUUM ANALYZE bench_points")

    def near(self, here: Point, radius_km: float, bits: int, within: bool, limit: int = 20) -> list[int]:
        condition = "AND ST_DWithin(at, here, %(m)s)" if within else ""
        with connection.cursor() as cursor:
            cursor.execute(
                "SELECT id, at <-> here AS away FROM bench_points,"
                " (SELECT ST_SetSRID(ST_MakePoint(%(x)s, %(y)s), 4326)::geography AS here) AS h"
                f" WHERE work_bits & %(bits)s = %(bits)s {condition} ORDER BY away LIMIT %(limit)s",
                {"x": here[1], "y": here[0], "m": radius_km * 1000, "bits": bits, "limit": limit},
            )
            return [key for key, away in cursor.fetchall() if away <= radius_km * 1000]


def _cycle(points: list[Point]) -> Callable[[], Point]:
    turn: Iterator[Point] = iter(points * 1000)
    return lambda: next(turn)


def _compare(radius_km: float, small: bool) -> Pair:
    points = filled(1_000 if small else 100_000)
    for here in points[:2] if small else points[:10]:
        assert ours(here, radius_km) == brute(here, radius_km)
    mine = _cycle(points)
    rounds = 5 if small else 60
    if connection.vendor == "sqlite":
        tree, theirs = Tree(COMMON), _cycle(points)
        return in_turns(lambda: ours(mine(), radius_km), lambda: tree.near(theirs(), radius_km), rounds=rounds)
    gis = PostGis()
    best = []
    for within in (True, False):
        theirs = _cycle(points)
        best.append(
            in_turns(
                lambda: ours(mine(), radius_km),
                lambda within=within, theirs=theirs: gis.near(theirs(), radius_km, COMMON, within),  # type: ignore[misc]
                rounds=rounds,
            )
        )
    return min(best, key=lambda pair: pair[1])


def _rows_of_radius(name: str, radius_km: float) -> None:
    def measure(small: bool) -> Pair:
        return _compare(radius_km, small)

    path = f"find among 100 000, {name}, one kind of work"
    row(path=path, reference="scipy cKDTree", goal=5, engines=(SQLITE,))(measure)
    row(path=path, reference="PostGIS", goal=1.5, engines=(POSTGRESQL,))(measure)


_rows_of_radius("50 km", 50)
_rows_of_radius("250 km", 250)
_rows_of_radius("nearest 20 anywhere", finding.HALF_ROUND)


@row(
    path="find among 100 000, 200 points, equal to measuring everything", reference="200 answers", goal=1,
    engines=(SQLITE, POSTGRESQL),
)  # fmt: skip
def equal(small: bool) -> Pair:
    """Not a time: how many of 200 random points were answered as by brute force, over 200."""
    filled(1_000 if small else 100_000)
    chance = random.Random(11)
    tried = 10 if small else 200
    wrong = 0
    for _point in range(tried):
        here, radius = (chance.uniform(40, 57), chance.uniform(-5, 20)), chance.choice([50, 250, 20_100])
        wrong += ours(here, radius) != brute(here, radius)
    assert not wrong, f"{wrong} of {tried} answers differ from brute force"
    return (tried + wrong) / 1000, tried / 1000


@row(path="find among 100 000, densest town", reference="the median town", goal=3, engines=(SQLITE, POSTGRESQL))
def densest(small: bool) -> Pair:
    points = filled(1_000 if small else 100_000)
    crowd = max(
        points, key=lambda here: sum(abs(y - here[0]) + abs(x - here[1]) < 0.2 for _k, y, x, _b in everything())
    )
    others = _cycle(points)
    return in_turns(lambda: ours(crowd, 50), lambda: ours(others(), 50), rounds=5 if small else 60)


@row(
    path="find among 100 000, work of one in a thousand, whole answer", reference="the design's 50 ms", goal=1,
    engines=(SQLITE, POSTGRESQL),
)  # fmt: skip
def rare(small: bool) -> Pair:
    points = filled(1_000 if small else 100_000)
    turn = _cycle(points)
    taken, _same = in_turns(lambda: _answer(turn(), ["board_repair"]), lambda: None, rounds=5 if small else 40)
    return taken, RARE_GOAL / 1000


def _answer(here: Point, codes: list[str], radius_km: float = 250) -> Any:
    return finding.find_near(latitude=here[0], longitude=here[1], radius_km=radius_km, work_codes=codes)


@row(
    path="find among 1 000, 50 km", reference="a bare indexed box query by the same ORM", goal=2,
    engines=(SQLITE, POSTGRESQL),
)  # fmt: skip
def among_few(small: bool) -> Pair:
    points = filled(1_000 if small else 100_000)
    kept = Workshop.objects.order_by("pk").values_list("pk")[999][0]
    Workshop.objects.filter(pk__gt=kept).update(state="suspended")  # the last row: a thousand are left in the index
    _settled()
    mine, theirs = _cycle(points), _cycle(points)

    def bare() -> list[Any]:
        latitude, longitude = theirs()
        box = Workshop.objects.filter(
            state="approved",
            band__range=(band_of(latitude - 0.45), band_of(latitude + 0.45)),
            longitude__range=(longitude - 0.7, longitude + 0.7),
        )
        return list(box.values_list("pk", "latitude", "longitude", "work_bits"))

    return in_turns(lambda: ours(mine(), 50), bare, rounds=60)
