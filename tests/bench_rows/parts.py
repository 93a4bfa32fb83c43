"""Part numbers among a million: exactly, by beginning, by a piece, through one typo; and chains of twelve.

The rows of exact, beginning and contained compare statements: the one that our search sends against the one of a plain
index (or scan), both by cursor. The row of one typo takes our whole function, the comparing in Python included, against
a table of every deletion of every number (750 MB), looked up and compared likewise. The chain takes our whole function
against a table that holds the last number of each.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from typing import Any

from django.core.exceptions import EmptyResultSet
from django.db import connection
from django.db.models import QuerySet
from django.utils import timezone

from network.models import Region, User, Workshop
from network.models.workshops import band_of
from parts import chains
from parts.models import PartNumber, Supersession
from parts.numbers import one_typo_apart
from parts.searching import MOST, beginning, containing, one_typo
from tests.bench_rows import POSTGRESQL, SQLITE, Pair, in_turns, row

BOTH = (SQLITE, POSTGRESQL)
LONG = 12  # numbers in a chain
TYPOS = 40


def load(table: str, columns: Sequence[str], rows: Iterable[Sequence[Any]]) -> None:
    """Rows into a table as fast as the engine takes them."""
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            with cursor.cursor.copy(f"COPY {table} ({', '.join(columns)}) FROM STDIN") as copy:
                for one in rows:
                    copy.write_row(one)
        else:
            marks = ", ".join("?" * len(columns))
            cursor.execute("BEGIN")  # or every row is a transaction of its own
            cursor.connection.executemany(f"INSERT INTO {table} ({', '.join(columns)}) VALUES ({marks})", rows)
            cursor.execute("COMMIT")


def ask(sql: str, params: Sequence[Any] = ()) -> list[tuple[Any, ...]]:
    with connection.cursor() as cursor:
        cursor.execute(sql, params)
        return cursor.fetchall()


def run(*statements: str) -> None:
    with connection.cursor() as cursor:
        for sql in statements:
            cursor.execute(sql)


@cache
def somebody() -> tuple[int, int]:
    """Keys of a workshop and a person who enter everything."""
    region = Region.objects.get_or_create(code="bench", defaults={"name": "Bench"})[0]
    shop = Workshop.objects.create(
        name="Bench of numbers", street="Dok 1", postcode="4020", town="Liège", country="BE", latitude=50.6,
        longitude=5.6, band=band_of(50.6), region=region, email="n@bench.example", phone="+49 30 23125 001",
        business_number="1", state="approved",
    )  # fmt: skip
    return shop.pk, User.objects.create(email="numbers@bench.example", name="Number").pk


@cache
def filled(small: bool) -> list[str]:
    """Numbers as makers print them: two letters, eight figures, now and then a letter more; in the order of their keys."""
    count = 2400 if small else 1_000_000
    chance = random.Random(27)
    pairs = ["".join(chance.choices("ABCDEFGHKLMNPRSTUVWXYZ", k=2)) for _maker in range(30)]
    unique: dict[str, None] = {}
    while len(unique) < count:
        tail = chance.choice("ABC") if chance.random() < 0.2 else ""
        unique[f"{chance.choice(pairs)}{chance.randrange(10**8):08d}{tail}"] = None
    numbers = list(unique)
    shop, person = somebody()
    now = timezone.now().isoformat()
    columns = [
        "id", "number", "normalised", "reversed", "maker", "kind", "description", "entered_at",
        "entered_by_workshop_id", "entered_by_id",
    ]  # fmt: skip
    load("parts_partnumber", columns, (
        (key, one, one, one[::-1], one[:2], "inverter", "Inverter with two machine stages", now, shop, person)
        for key, one in enumerate(numbers, start=1)
    ))  # fmt: skip
    run("VACUUM ANALYZE parts_partnumber" if connection.vendor == "postgresql" else "ANALYZE")
    return numbers


def wanted(small: bool, count: int = TYPOS) -> list[str]:
    return random.Random(11).sample(filled(small), count)


def statement(rows: QuerySet[Any, Any]) -> Callable[[], list[tuple[Any, ...]]]:
    """The statement of a queryset, ready to be sent."""
    try:
        sql, params = rows.query.sql_with_params()
    except EmptyResultSet:
        raise AssertionError("nothing to ask for") from None
    return lambda: ask(sql, params)


def each(asked: list[Callable[[], object]]) -> Callable[[], object]:
    return lambda: [one() for one in asked]


@row(path="part number, exactly", reference="btree", goal=1.5, engines=BOTH)
def exactly(small: bool) -> Pair:
    numbers = wanted(small)
    ours = [statement(beginning(PartNumber.objects.all(), one)[: MOST + 1]) for one in numbers]
    bare = "SELECT id, normalised FROM parts_partnumber WHERE normalised = %s"
    theirs = [lambda one=one: ask(bare, [one]) for one in numbers]
    for our, their in zip(ours, theirs, strict=True):
        assert our()[0] == their()[0]
    return in_turns(each(ours), each(theirs), rounds=30)


@row(path="part number, beginning", reference="btree range", goal=1.5, engines=BOTH)
def begins(small: bool) -> Pair:
    numbers = [one[:6] for one in wanted(small)]
    ours = [statement(beginning(PartNumber.objects.all(), one)[: MOST + 1]) for one in numbers]
    bare = "SELECT id, normalised FROM parts_partnumber WHERE normalised >= %s AND normalised < %s LIMIT 26"
    theirs = [lambda one=one: ask(bare, [one, one[:-1] + chr(ord(one[-1]) + 1)]) for one in numbers]
    for our, their in zip(ours, theirs, strict=True):
        assert sorted(our()) == sorted(their()) and their()
    return in_turns(each(ours), each(theirs), rounds=30)


@row(path="part number, contained", reference="scan of the table", goal=1, engines=BOTH)
def contains(small: bool) -> Pair:
    pieces = [one[3:9] for one in wanted(small, 3)]
    ours = [statement(containing(PartNumber.objects.all(), one)[: MOST + 1]) for one in pieces]
    plain = "parts_partnumber" if connection.vendor == "postgresql" else "parts_partnumber NOT INDEXED"
    bare = f"SELECT id, normalised FROM {plain} WHERE normalised LIKE %s"
    theirs = [lambda one=one: ask(bare, [f"%{one}%"]) for one in pieces]

    def scan() -> object:
        if connection.vendor != "postgresql":
            return each(theirs)()
        run("SET enable_indexscan = off", "SET enable_indexonlyscan = off", "SET enable_bitmapscan = off")
        try:
            return each(theirs)()
        finally:
            run("RESET enable_indexscan", "RESET enable_indexonlyscan", "RESET enable_bitmapscan")

    for our, their in zip(ours, theirs, strict=True):
        assert set(our()) <= set(their())
    return in_turns(each(ours), scan, rounds=9)


def slip(number: str, chance: random.Random) -> str:
    """The number with one slip of the pen."""
    at = chance.randrange(len(number) - 1)
    sign = chance.choice("0123456789ABC")
    return chance.choice([
        number[:at] + sign + number[at:], number[:at] + number[at + 1 :], number[:at] + sign + number[at + 1 :],
        number[:at] + number[at + 1] + number[at] + number[at + 2 :],
    ])  # fmt: skip


def deletions(number: str) -> set[str]:
    return {number, *(number[:at] + number[at + 1 :] for at in range(len(number)))}


@cache
def every_deletion(small: bool) -> None:
    """The table that the reference looks typos up in: two numbers one typo apart share a deletion."""
    numbers = filled(small)
    text = 'text COLLATE "C"' if connection.vendor == "postgresql" else "text"
    run(f"CREATE TABLE bench_deletion (piece {text}, number_id bigint)")
    pairs = ((piece, key) for key, one in enumerate(numbers, start=1) for piece in deletions(one))
    load("bench_deletion", ["piece", "number_id"], pairs)
    run("CREATE INDEX bench_deletion_piece ON bench_deletion (piece, number_id)", "ANALYZE bench_deletion")


def by_deletions(number: str) -> set[str]:
    pieces = list(deletions(number))
    marks = ", ".join(["%s"] * len(pieces))
    found = ask(
        "SELECT DISTINCT n.normalised FROM bench_deletion d JOIN parts_partnumber n ON n.id = d.number_id"
        f" WHERE d.piece IN ({marks})",
        pieces,
    )
    return {one for (one,) in found if one_typo_apart(number, one)}


@row(path="part number, one typo", reference="table of every deletion", goal=3, engines=BOTH)
def typo(small: bool) -> Pair:
    every_deletion(small)
    chance = random.Random(5)
    asked = []
    while len(asked) < TYPOS:
        right = chance.choice(filled(small))
        written = slip(right, chance)
        if one_typo_apart(right, written):
            asked.append((right, written))
    rows = PartNumber.objects.all()
    for right, written in asked:
        found = {one for _key, one in one_typo(rows, written)}
        assert right in found and found == by_deletions(written), written
    return in_turns(
        lambda: [one_typo(rows, written) for _right, written in asked],
        lambda: [by_deletions(written) for _right, written in asked],
        rounds=15,
    )


@cache
def chained(small: bool) -> list[int]:
    """Every twelve numbers after each other in a chain; keys of the first of each."""
    count = len(filled(small)) // LONG * LONG
    shop, person = somebody()
    now = timezone.now().isoformat()
    columns = [
        "old_id", "new_id", "kind", "backwards", "conditions", "evidence", "entered_at", "dispute_reason",
        "entered_by_workshop_id", "entered_by_id",
    ]  # fmt: skip
    load(Supersession._meta.db_table, columns, (
        (key, key + 1, "replaced", "unknown", "", "bulletin", now, "", shop, person)
        for key in range(1, count) if key % LONG
    ))  # fmt: skip
    run("CREATE TABLE bench_head (number_id bigint PRIMARY KEY, head_id bigint)")
    load("bench_head", ["number_id", "head_id"], ((key, -(-key // LONG) * LONG) for key in range(1, count + 1)))
    run("ANALYZE")
    return list(range(1, count, LONG))


@row(path="chain of twelve numbers", reference="stored head", goal=2.5, engines=BOTH)
def chain(small: bool) -> Pair:
    firsts = random.Random(3).sample(chained(small), 40)
    stored = "SELECT head_id FROM bench_head WHERE number_id = %s"
    assert [chains.last_of(key) for key in firsts] == [ask(stored, [key])[0][0] for key in firsts]
    return in_turns(
        lambda: [chains.last_of(key) for key in firsts], lambda: [ask(stored, [key]) for key in firsts], rounds=30
    )
