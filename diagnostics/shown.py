"""Records as the rows of a sheet: title, what was found, verdict, and whether a later one corrects it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from diagnostics.kinds import kind_of
from diagnostics.models import Record
from diagnostics.summary import found_in_short


@dataclass(frozen=True, kw_only=True)
class Row:
    record: Record
    name: str
    found: str
    verdict: str
    ended: bool  # corrected by a later record


def rows_of(records: Iterable[Record]) -> list[Row]:
    kept = list(records)
    corrected = {record.replaces_id for record in kept}
    return [
        Row(
            record=record,
            name=name_of(record),
            found=found_in_short(record),
            verdict=record.verdict,
            ended=record.pk in corrected,
        )
        for record in kept
    ]


def name_of(record: Record) -> str:
    return named(record.kind, record.subject)


def named(code: str, subject: str) -> str:
    """The title of a kind, with the machine where it is of one."""
    kind = kind_of(code)
    title: Any = kind.title if kind else code
    return _("%(kind)s, machine %(n)s") % {"kind": title, "n": subject} if subject else str(title)
