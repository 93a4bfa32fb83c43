"""Records as the report tells them: one line each for the owner, and everything for the file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from diagnostics.models import Record
from diagnostics.presenting import ShownFinding, present_record, typed_words
from diagnostics.recording import PROOF_OF_ABSENCE
from diagnostics.shown import name_of
from diagnostics.summary import found_in_short, instrument_words, rounded


def verdict_words(verdict: str) -> str:
    return {
        "within": _("within the entered limit"),
        "outside": _("outside the entered limit"),
        "unproven": _("not enough data"),
    }.get(verdict, verdict)


@dataclass(frozen=True, kw_only=True)
class Measured:
    """What the owner reads of one measurement."""

    name: str
    found: str
    verdict: str
    words: str


@dataclass(frozen=True, kw_only=True)
class ReadingShown:
    """One record whole: who, when, with what, what was typed, and each finding against its limit."""

    number: int
    name: str
    verdict: str
    words: str
    circumstances: list[tuple[str, str]]
    typed: list[tuple[str, str]]
    findings: list[ShownFinding]
    remark: str
    ended: bool
    hash: str


def measured_of(records: Sequence[Record]) -> list[Measured]:
    """The newest standing record of each kind and subject; the proof of absence is the workshop's own protection."""
    corrected = {record.replaces_id for record in records}
    newest = {
        (record.kind, record.subject): record
        for record in records
        if record.pk not in corrected and record.kind != PROOF_OF_ABSENCE
    }
    return [
        Measured(
            name=name_of(record),
            found=found_in_short(record),
            verdict=record.verdict,
            words=verdict_words(record.verdict),
        )
        for record in newest.values()
    ]


def readings_of(records: Sequence[Record]) -> list[ReadingShown]:
    corrected = {record.replaces_id for record in records}
    return [_reading(record, record.pk in corrected) for record in records]


def _reading(record: Record, ended: bool) -> ReadingShown:
    return ReadingShown(
        number=record.sequence,
        name=name_of(record),
        verdict=record.verdict,
        words=verdict_words(record.verdict),
        circumstances=_circumstances(record),
        typed=typed_words(record),
        findings=list(present_record(record).findings),
        remark=record.remark,
        ended=ended,
        hash=record.hash,
    )


def _circumstances(record: Record) -> list[tuple[str, str]]:
    temperature, used = record.body["temperature_c"], record.body["instrument"]
    rows = [
        (_("Taken"), date_format(timezone.localtime(record.taken_at), "DATETIME_FORMAT")),
        (_("By"), record.taken_by_name or _("name erased")),
        (_("Stood by"), record.stood_by_name),
        (_("Car"), record.get_state_display()),
        (_("Instrument"), instrument_words(used) if used else ""),
        (_("Temperature"), "" if temperature is None else f"{rounded(temperature, 4)} °C"),
    ]
    return [(name, value) for name, value in rows if value]
