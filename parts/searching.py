"""Find part numbers by what somebody reads off a part: the number, its beginning, a piece of it, or one typo.

The same numbers are found on SQLite and on PostgreSQL, in the same order and with no extension of either:

- exactly, and beginning: a range of the index on the normalised number;
- one typo (`numbers.one_typo_apart`): a slip leaves one half of the number whole, so those that begin with the first
  half or end with the last (an index on the number reversed) are looked at one by one; two swapped signs across the
  middle leave neither half whole, and that one number is asked for by itself;
- contained: every number is read, from the index alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from django.db.models import Q, QuerySet
from django.db.models.functions import Length

from parts.models import PartNumber, PartNumberQuerySet
from parts.numbers import LONGEST_NUMBER, normalise, one_typo_apart

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
    inside = rows.filter(normalised__contains=number).exclude(normalised__begins=number)
    return inside.in_order().values_list("pk", "normalised")


def one_typo(rows: PartNumberQuerySet, number: str) -> list[tuple[int, str]]:
    """Keys and numbers of all that are one typo apart, in order; none for numbers of three signs or fewer."""
    if len(number) < SHORTEST_TYPO:
        return []
    half = len(number) // 2
    first, last = number[:half], number[half:]
    across = number[: half - 1] + number[half] + number[half - 1] + number[half + 1 :]
    candidates = (
        rows.filter(Q(normalised__begins=first) | Q(reversed__begins=last[::-1]) | Q(normalised=across))
        .annotate(signs=Length("normalised"))
        .filter(signs__gte=len(number) - 1, signs__lte=len(number) + 1)
        .values_list("pk", "normalised")
    )
    apart = [(key, found) for key, found in candidates if one_typo_apart(number, found)]
    return sorted(apart, key=lambda one: (one[1], one[0]))
