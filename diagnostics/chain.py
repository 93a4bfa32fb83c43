"""The chain of a sheet: what is hashed, and whether the stored records still are what was hashed.

A record's canonical text is JSON with sorted keys and no spaces, figures as Python writes them (so 1e22 and -0.0 stay
what they are). Its hash is SHA-256 over that text, and the text names the hash before it, the sheet and the place in
it, so a record can't be changed, moved, left out or slipped in without the chain showing it.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from diagnostics.models import MeasurementLog, Record, Sheet


@dataclass(frozen=True, kw_only=True)
class Break:
    """The first place at which a sheet doesn't hold: the record's place in it, and what is wrong there."""

    sequence: int
    sentence: str


def canonical_text(body: Any) -> str:
    """The one text that stands for `body`; raises ValueError for NaN and infinity."""
    return json.dumps(body, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False)


def hash_of(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def hash_of_body(body: Any) -> str:
    """The hash of the text that stands for `body`."""
    return hash_of(canonical_text(body))


def digest(salt: str, words: str) -> str:
    """A name or free text as it enters the hash: nobody reads it back, and it can be erased."""
    return hash_of(f"{salt}\0{words}") if words else ""


def columns_as_hashed(record: Record) -> dict[str, Any]:
    """The part of the canonical body that also stands in columns; written and verified from this one place."""
    return {
        "sheet": record.sheet_id,
        "sequence": record.sequence,
        "kind": record.kind,
        "subject": record.subject,
        "state": record.state,
        "verdict": record.verdict,
        "taken_at": record.taken_at.isoformat(),
        "taken_by": record.taken_by_id,
        "stood_by": record.stood_by_id,
        "replaces": record.replaces_id,
        "log": record.log.sha256 if record.log else None,
        "previous": record.previous_hash,
        "part": part_as_hashed(record.sheet),
    }


def part_as_hashed(sheet: Sheet) -> dict[str, str]:
    """Which part the sheet is of, by its plate, and when it was measured: nobody changes it once a record is there."""
    return {name: getattr(sheet, name) for name in ("part_kind", "part_number", "part_serial", "occasion")}


def words_as_hashed(record: Record) -> dict[str, str]:
    """Names and free text, as salted digests."""
    return {
        "taken_by_name": digest(record.salt, record.taken_by_name),
        "stood_by_name": digest(record.salt, record.stood_by_name),
        "remark": digest(record.salt, record.remark),
    }


def first_break(sheet: Sheet) -> Break | None:
    """The first record that doesn't hold, or None when the whole sheet does."""
    previous = ""
    expected = 0
    for record in Record.objects.filter(sheet=sheet).select_related("log", "sheet").order_by("sequence").iterator():
        expected += 1
        if record.sequence != expected:
            return Break(sequence=expected, sentence=_("Record %(n)d is missing.") % {"n": expected})
        wrong = _what_is_wrong(record, previous)
        if wrong:
            return Break(sequence=record.sequence, sentence=wrong)
        previous = record.hash
    if expected != sheet.length or previous != sheet.last_hash:
        return Break(
            sequence=expected + 1,
            sentence=_("The sheet should end with another record than its last one: records were taken off its end."),
        )
    return None


def _what_is_wrong(record: Record, previous: str) -> str:
    if hash_of(record.canonical) != record.hash:
        return _("The text of record %(n)d is not the text that was hashed.") % {"n": record.sequence}
    if record.previous_hash != previous:
        return _("Record %(n)d doesn't follow the one before it.") % {"n": record.sequence}
    body = record.body
    erased = not (record.salt or record.taken_by_name or record.stood_by_name or record.remark)
    shown = columns_as_hashed(record) | ({} if erased else words_as_hashed(record))
    differing = sorted(name for name, value in shown.items() if body.get(name) != value)
    if record.log and _digest_of_file(record.log) != record.log.sha256:
        return _("The log file of record %(n)d is not the one that was measured from.") % {"n": record.sequence}
    if differing:
        return _("Record %(n)d shows something else than was hashed: %(names)s.") % {
            "n": record.sequence,
            "names": ", ".join(differing),
        }
    return ""


def _digest_of_file(log: MeasurementLog) -> str:
    try:
        with log.file.open("rb") as stored:
            return hashlib.file_digest(stored, "sha256").hexdigest()
    except OSError:
        return ""
