"""Loading 700 000 places, the first time and again, against the fastest way in of each database."""

from __future__ import annotations

import random
from functools import cache

from django.db import connection, transaction

from network.models import Place
from network.place_loading import Row, store
from tests.bench_rows import POSTGRESQL, SQLITE, Pair, in_turns, row

COLUMNS = ", ".join(Row._fields)


@cache
def places(count: int) -> list[Row]:
    chance = random.Random(7)
    return [
        Row("ZZ", f"{n:06d}", f"{n:06d}", f"Place {n}", chance.uniform(43, 54), chance.uniform(-1, 15), "code")
        for n in range(count)
    ]


def _plain(rows: list[Row]) -> None:
    """COPY straight into an empty table; on SQLite executemany."""
    Place.objects.all().delete()
    with transaction.atomic(), connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            with cursor.copy(f"COPY network_place ({COLUMNS}) FROM STDIN") as copy:
                for one in rows:
                    copy.write_row(one)
        else:
            slots = ", ".join(["%s"] * len(Row._fields))
            cursor.executemany(f"INSERT INTO network_place ({COLUMNS}) VALUES ({slots})", rows)


def _first(rows: list[Row]) -> None:
    Place.objects.all().delete()
    assert store(rows) == len(rows)


def _measure(small: bool, again: bool) -> Pair:
    rows = places(2_000 if small else 700_000)
    if not again:
        return in_turns(lambda: _first(rows), lambda: _plain(rows), rounds=1 if small else 2)
    # The plain way empties the table, so ours comes second in each turn and finds it full.
    plain, ours = in_turns(lambda: _plain(rows), lambda: store(rows), rounds=1 if small else 2)
    return ours, plain


for _engine, _goals in ((POSTGRESQL, (3.5, 2.0)), (SQLITE, (2.5, 1.5))):
    row(path="load 700 000 places", reference="COPY or executemany", goal=_goals[0], engines=(_engine,))(
        lambda small: _measure(small, again=False)
    )
    row(path="load them again, nothing changed", reference="COPY or executemany", goal=_goals[1], engines=(_engine,))(
        lambda small: _measure(small, again=True)
    )
