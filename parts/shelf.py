"""The shelf list of a workshop: taken in whole or not at all, matched against what is asked for, seen by nobody else.

A new list replaces the one before. A new request on the board is looked up on every shelf of the regions it was sent
to, in the same transaction, and the people of a workshop that has the part are told; whoever asks learns nothing of it
until that workshop answers.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import Q
from django.utils.translation import gettext as _

from network.access import WayOut, way_out
from network.models import Event, Membership, User, Workshop
from parts.chains import DEEPEST
from parts.models import PartNumber, PartRequest, PartRequestQuerySet, ShelfItem, ShelfUpload, Supersession
from parts.numbers import LONGEST_NUMBER, normalise
from parts.shelf_table import Table

COLUMNS = ("number", "description", "quantity", "condition", "place")
MOST_PIECES = 100_000
MOST_ERRORS = 100
# Headers as people write them, by column; compared without blanks and signs (common practice, no source).
HEADERS = {
    "number": ("partnumber", "partno", "number", "teilenummer", "nummer", "référence", "reference", "onderdeelnummer",
               "artikelnummer", "numéro", "numero", "article", "artikel"),
    "description": ("description", "whatitis", "name", "bezeichnung", "désignation", "designation", "omschrijving"),
    "quantity": ("quantity", "pieces", "qty", "stock", "menge", "anzahl", "quantité", "aantal", "voorraad", "bestand"),
    "condition": ("condition", "zustand", "état", "etat", "staat"),
    "place": ("place", "shelf", "bin", "location", "lagerort", "fach", "emplacement", "locatie", "plaats"),
}  # fmt: skip
RISKY = ("=", "+", "-", "@", "\t")  # a spreadsheet would run such a cell


@dataclass(frozen=True, kw_only=True)
class LineError:
    """What is wrong with one line, in a sentence."""

    line: int
    sentence: str


class NotTaken(Exception):
    """Nothing was taken in; `errors` say why, line by line, the first hundred of `count`."""

    def __init__(self, errors: list[LineError]) -> None:
        self.errors, self.count = errors[:MOST_ERRORS], len(errors)
        super().__init__(f"{self.count} lines are wrong.")


@transaction.atomic
def put_aside(*, name: str, table: Table, by: Membership) -> ShelfUpload:
    """Keep an uploaded table until its columns are named; an older one that waits is thrown away."""
    ShelfUpload.objects.all().delete()
    upload = ShelfUpload(name=name[:120], table={"headers": table.headers, "rows": table.rows}, uploaded_by=by.person)
    upload.save()
    return upload


def guessed(headers: list[str]) -> dict[str, int]:
    """Which column of the table is which, by its header; what isn't recognised is left out."""
    flat = ["".join(sign for sign in header.casefold() if sign.isalnum()) for header in headers]
    found: dict[str, int] = {}
    for column, names in HEADERS.items():
        whole = [place for place, header in enumerate(flat) if header in names]
        begun = [place for place, header in enumerate(flat) if header.startswith(names)]
        free = [place for place in whole + begun if place not in found.values()]
        if free:
            found[column] = free[0]
    return found


@transaction.atomic
def take_in(*, upload: ShelfUpload, columns: dict[str, int], by: Membership) -> int:
    """Replace the list in use by the uploaded table; gives the number of lines, raises NotTaken and changes nothing."""
    items, errors = [], []
    for line, cells in upload.table["rows"]:
        wanted = {name: cells[place] for name, place in columns.items() if 0 <= place < len(cells)}
        item, sentences = _item(wanted)
        errors += [LineError(line=line, sentence=sentence) for sentence in sentences]
        items.append(item)
    if errors:
        raise NotTaken(errors)
    ShelfItem.objects.all().delete()
    ShelfItem.objects.bulk_create(items, batch_size=500)
    ShelfUpload.objects.all().delete()
    Event.record("shelf_list_taken", by.workshop, by=by.person, workshop=by.workshop, lines=len(items))
    return len(items)


@transaction.atomic
def clear(*, by: Membership) -> int:
    """Throw the list away; gives the number of lines."""
    lines, _rows = ShelfItem.objects.all().delete()
    Event.record("shelf_list_cleared", by.workshop, by=by.person, workshop=by.workshop, lines=lines)
    return int(lines)


def _item(cells: dict[str, str]) -> tuple[ShelfItem, list[str]]:
    """The row as an item, and sentences of what is wrong with it."""
    sentences = []
    number, normalised = cells.get("number", ""), normalise(number=cells.get("number", ""))
    if not normalised:
        sentences.append(_("there is no part number"))
    elif max(len(number), len(normalised)) > LONGEST_NUMBER:
        sentences.append(_("“%(text)s” is longer than a part number") % {"text": number[:60]})
    pieces = cells.get("quantity") or "1"
    if not pieces.isdecimal() or not 1 <= int(pieces[:9]) <= MOST_PIECES or len(pieces) > 9:
        sentences.append(_("“%(text)s” is no number of pieces from 1 to 100 000") % {"text": pieces[:40]})
    for name, longest in (("description", 120), ("condition", 60), ("place", 60)):
        if len(cells.get(name, "")) > longest:
            sentences.append(_("the text in “%(name)s” has more than %(n)d signs") % {"name": name, "n": longest})
    if sentences:
        return ShelfItem(), sentences
    words = {name: cells.get(name, "") for name in ("description", "condition", "place")}
    return ShelfItem(number=number, normalised=normalised, quantity=int(pieces), **words), []


def as_csv(items: Iterable[ShelfItem]) -> str:
    """The list as it can be read in again; a cell that a spreadsheet would run is led by an apostrophe."""
    written = io.StringIO()
    writer = csv.writer(written)
    writer.writerow(COLUMNS)
    for item in items:
        writer.writerow([_harmless(getattr(item, name)) for name in COLUMNS])
    return written.getvalue()


def _harmless(value: Any) -> str:
    text = str(value)
    return f"'{text}" if text.startswith(RISKY) else text


# Matching


def numbers_of(request: PartRequest) -> set[str]:
    """The numbers that would do for the request, as they are compared.

    Its own; what members stated to follow it, step by step; and what went before where that step fits backwards.
    """
    if not request.normalised:
        return set()
    found = set(PartNumber.objects.filter(normalised=request.normalised).values_list("pk", flat=True))
    reached, steps = set(found), Supersession.objects.standing()
    for _step in range(DEEPEST):
        onward = set(steps.filter(old__in=reached).values_list("new", flat=True))
        backward = steps.filter(new__in=reached, backwards=Supersession.Backwards.YES)
        reached = (onward | set(backward.values_list("old", flat=True))) - found
        if not reached:
            break
        found |= reached
    names = PartNumber.objects.filter(pk__in=found).values_list("normalised", flat=True)
    return {request.normalised, *names}


def holders_of(request: PartRequest) -> list[int]:
    """Keys of the workshops that see the request and have such a part on their shelf."""
    numbers = numbers_of(request)
    if not numbers:
        return []
    with way_out(WayOut.MATCH_SHELVES):
        found = ShelfItem.objects.filter(normalised__in=numbers)
        keys = set(found.values_list("workshop", flat=True))
    seen = Workshop.objects.public().filter(pk__in=keys, region__in=request.regions.all())
    return sorted(seen.exclude(pk=request.asked_by_workshop_id).values_list("pk", flat=True))


def people_of(workshops: list[int]) -> list[User]:
    """Who is told for a workshop: its managers, or everybody where none can act."""
    people: list[User] = []
    for workshop in workshops:
        able = list(Membership.objects.able_to_act().filter(workshop=workshop).select_related("person").order_by("pk"))
        people += [one.person for one in able if one.is_manager] or [one.person for one in able]
    return people


def asked_for_now(membership: Membership) -> PartRequestQuerySet:
    """Open requests of others that ask for something on the own shelf."""
    mine = ShelfItem.objects.values("normalised")
    open_ones = PartRequest.objects.visible_to(membership).open().of_others(membership)
    found: PartRequestQuerySet = open_ones.filter(~Q(normalised=""), normalised__in=mine)
    return found
