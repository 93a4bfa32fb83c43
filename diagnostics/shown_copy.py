"""A shared copy of a sheet as pages show it: the preview before sharing and the page after it show the same."""

from __future__ import annotations

import datetime
from collections import Counter
from dataclasses import dataclass
from typing import Any

from diagnostics.kinds import kind_of
from diagnostics.models import Sheet
from diagnostics.models.sheets import CarState
from diagnostics.part_kinds import PartKind
from diagnostics.presenting import Judged, present, values_in_words
from diagnostics.recording import reading_from
from diagnostics.shown import named
from diagnostics.summary import finding_words, instrument_words


@dataclass(frozen=True, kw_only=True)
class ShownRecord:
    sequence: int
    name: str
    found: str
    judged: Judged
    state: str
    taken_on: datetime.date
    instrument: str
    temperature_c: float | None
    typed: list[tuple[str, str]]
    ended: bool  # corrected by a later record
    replaces: int | None
    hash: str


@dataclass(frozen=True, kw_only=True)
class ShownCopy:
    title: str
    family: str
    part: str
    part_number: str
    part_serial: str
    occasion: str
    records: list[ShownRecord]
    last_hash: str

    @property
    def counted(self) -> Counter[str]:
        """How many standing records have which verdict."""
        return Counter(record.judged.verdict for record in self.records if not record.ended)

    @property
    def cautions(self) -> tuple[Any, ...]:
        return self.records[0].judged.kind.cautions if self.records else ("", "")


def shown_copy(body: dict[str, Any]) -> ShownCopy:
    """The frozen JSON in words and charts; records of a kind that this version doesn't know are left out."""
    corrected = {one["replaces"] for one in body["records"]}
    return ShownCopy(
        title=body["title"],
        family=body["family"] or "",
        part=_label(PartKind, body["part_kind"]),
        part_number=body["part_number"],
        part_serial=body["part_serial"],
        occasion=_label(Sheet.Occasion, body["occasion"]),
        records=[_shown(one, ended=one["sequence"] in corrected) for one in body["records"] if kind_of(one["kind"])],
        last_hash=body["last_hash"],
    )


def _label(choices: Any, code: str) -> str:
    return str(choices(code).label) if code in choices.values else ""


def _shown(one: dict[str, Any], *, ended: bool) -> ShownRecord:
    kind = kind_of(one["kind"])
    if kind is None:
        raise LookupError(one["kind"])
    reading, assessment = reading_from(one, state=one["state"])
    return ShownRecord(
        sequence=one["sequence"],
        name=named(one["kind"], one["subject"]),
        found="; ".join(
            finding_words(finding, str(kind.quantities.get(finding["quantity"], finding["quantity"])))
            for finding in one["findings"]
        ),
        judged=present(kind, reading, assessment),
        state=_label(CarState, one["state"]),
        taken_on=datetime.date.fromisoformat(one["taken_on"]),
        instrument=instrument_words(one["instrument"]),
        temperature_c=one["temperature_c"],
        typed=values_in_words(kind, reading.values),
        ended=ended,
        replaces=one["replaces"],
        hash=one["hash"],
    )
