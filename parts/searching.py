"""Find part numbers by what somebody reads off a part: the number, its beginning, a piece of it, or one typo.

The same numbers are found on SQLite and on PostgreSQL, in the same order and with no extension of either:

- exactly, and beginning: a range of the index on the normalised number;
- one typo (`numbers.one_typo_apart`): a slip leaves one half of the number whole, so those that begin with the first
  half or end with the last (an index on the number reversed) are candidates; of these the outer quarter on the other
  side is whole as well, or the rest is; what is left is looked at one by one. Two swapped signs across the middle leave
  neither half whole, and that one number is asked for by itself;
- contained: every number is read, from the index alone; a PostgreSQL with trigrams has an index of pieces as well
  (`migrations/0002_pieces_of_numbers.py`), which only makes it quicker.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from django.db.models import QuerySet

from parts.models import PartNumber, PartNumberQuerySet
from parts.numbers import LONGEST_NUMBER, normalise, one_typo_apart, sign_after
from parts.prepared import Statement

MOST = 25  # of each way of finding; whoever gets more writes more of the number
SHORTEST_TYPO = 4  # signs: a typo in three leaves a single sign whole, which is in half of all numbers
SHORTEST_PIECE = 3


class How(StrEnum):
    """The ways of finding, best first."""

    EXACT = "exact"
    BEGINS = "begins"
    CONTAINS = "contains"
    TYPO = "typo"


@dataclass(frozen=True, kw_only=True)
class Search:
    """What was found, best first; `more` tells of which ways there was more than is shown."""

    number: str
    found: tuple[tuple[How, PartNumber], ...]
    more: frozenset[How]

    @property
    def exact(self) -> list[PartNumber]:
        return [one for how, one in self.found if how is How.EXACT]


def search(text: str, *, among: PartNumberQuerySet | None = None, most: int = MOST) -> Search:
    """Numbers for a text as somebody wrote it, among the given ones (all); at most `most` for each way of finding."""
    number = normalise(number=text)[:LONGEST_NUMBER]
    rows = PartNumber.objects.all() if among is None else among
    if not number:
        return Search(number="", found=(), more=frozenset())
    ways: dict[How, list[int]] = {how: [] for how in How}
    for key, normalised in beginning(rows, number)[: 2 * most + 1]:
        ways[How.EXACT if normalised == number else How.BEGINS].append(key)
    if len(number) >= SHORTEST_PIECE:
        ways[How.CONTAINS] = [key for key, _normalised in containing(rows, number)[: most + 1]]
    ways[How.TYPO] = [key for key, _normalised in one_typo(rows, number)[: most + 1]]
    ordered: dict[int, How] = {}
    for how, keys in ways.items():
        for key in keys[:most]:
            ordered.setdefault(key, how)
    read = PartNumber.objects.prefetch_related("families").in_bulk(list(ordered))
    return Search(
        number=number,
        found=tuple((how, read[key]) for key, how in ordered.items() if key in read),
        more=frozenset(how for how, keys in ways.items() if len(keys) > most),
    )


Keys = QuerySet[PartNumber, tuple[int, str]]


def beginning(rows: PartNumberQuerySet, number: str) -> Keys:
    """Keys and numbers of those that begin with the number; it itself comes first."""
    return rows.filter(normalised__begins=number).in_order().values_list("pk", "normalised")


def containing(rows: PartNumberQuerySet, number: str) -> Keys:
    """Keys and numbers of those that hold the number after their first sign: a read of the whole index."""
    return rows.filter(normalised__holds=number).in_order().values_list("pk", "normalised")


def one_typo(rows: PartNumberQuerySet, number: str) -> list[tuple[int, str]]:
    """Keys and numbers of all that are one typo apart, in order; none for numbers of three signs or fewer."""
    if len(number) < SHORTEST_TYPO:
        return []
    found = {key: one for key, one in _candidates(number) if one_typo_apart(number, one)}
    if found and rows.query.where:  # only some of the numbers are wanted
        wanted = set(rows.filter(pk__in=found).values_list("pk", flat=True))
        found = {key: one for key, one in found.items() if key in wanted}
    return sorted(found.items(), key=lambda one: (one[1], one[0]))


# Read from the indexes alone; the second half reads the reversed number, which is turned again here. Pieces are cut out
# by `substr`, which takes SQLite half the time of a LIKE.
ONE_HALF = ["text", "text", "integer", "integer", "integer", "text", "integer", "text"]
CANDIDATES = Statement("benchring_one_typo", [*ONE_HALF, *ONE_HALF, "text"], """
SELECT id, normalised, false FROM parts_partnumber
WHERE normalised >= %s AND normalised < %s AND length(normalised) BETWEEN %s AND %s
  AND (substr(normalised, length(normalised) - %s) = %s OR substr(normalised, 1, %s) = %s)
UNION ALL SELECT id, reversed, true FROM parts_partnumber
WHERE reversed >= %s AND reversed < %s AND length(reversed) BETWEEN %s AND %s
  AND (substr(reversed, length(reversed) - %s) = %s OR substr(reversed, 1, %s) = %s)
UNION ALL SELECT id, normalised, false FROM parts_partnumber WHERE normalised = %s
""")  # fmt: skip


def _candidates(number: str) -> Iterator[tuple[int, str]]:
    half = len(number) // 2
    across = number[: half - 1] + number[half] + number[half - 1] + number[half + 1 :]
    asked = (*_one_half(number, half), *_one_half(number[::-1], len(number) - half), across)
    for key, one, turned in CANDIDATES.rows(*asked):
        yield key, one[::-1] if turned else one


def _one_half(number: str, half: int) -> tuple[Any, ...]:
    """What numbers with the same first half are asked for: their length, and a slip that is within or before the end.

    A slip within the last signs leaves all before them whole (but one, where two signs are swapped); a slip before them
    leaves them whole.
    """
    first, end = number[:half], (len(number) - half) // 2
    whole = number[: len(number) - end - 1]
    lengths = len(number) - 1, len(number) + 1
    return first, sign_after(first), *lengths, end - 1, number[-end:], len(whole), whole
