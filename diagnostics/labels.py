"""Labels for what stands in the workshop: a few words and a code that opens the page where one goes on.

A code holds only the portal's address of the thing, or what a plate says anyway. Whoever isn't of the workshop gets
the answer that a missing page gives.
"""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.http import urlencode
from django.utils.safestring import SafeString

from diagnostics.models import Instrument, Sheet
from diagnostics.qr import link_picture

MOST_PARTS = 60  # the newest sheets that name a serial number


@dataclass(frozen=True, kw_only=True)
class Label:
    kind: str  # what it is stuck on, in one word
    name: str
    line: str
    qr: SafeString


def instrument_label(instrument: Instrument, *, kind: str) -> Label:
    """Opens the instrument: whether it is in date, and a new record with it chosen."""
    return Label(
        kind=kind, name=instrument.name, line=instrument.serial, qr=link_picture("instrument", args=[instrument.pk])
    )


def part_label(*, kind: str, number: str, serial: str) -> Label:
    """Opens all sheets of the part, and a new one for it."""
    return Label(
        kind=kind, name=number or serial, line=serial, qr=link_picture("part_sheets", urlencode(_plate(number, serial)))
    )


def parts_of() -> list[Sheet]:
    """One sheet of each part that the workshop measured lately, newest first."""
    rows = Sheet.objects.exclude(part_serial="").order_by("-made_at")[:MOST_PARTS]
    by_plate: dict[tuple[str, str], Sheet] = {}
    for sheet in rows:
        by_plate.setdefault((sheet.flat_number, sheet.flat_serial), sheet)
    return list(by_plate.values())


def _plate(number: str, serial: str) -> dict[str, str]:
    return {name: value for name, value in (("number", number), ("serial", serial)) if value}
