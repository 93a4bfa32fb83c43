"""Show a sheet to every member: a frozen copy, made by an explicit act after a preview of exactly what will be seen.

The copy holds figures and codes only. Names (customer, technician, who stood by), free text (remarks, points, what
somebody typed as the maker's wait), names and serial numbers of instruments, times of day and the car stay behind.
The sheet is copied whole: whoever shows evidence doesn't choose among its records.
"""

from __future__ import annotations

from typing import Any

from django.db import transaction
from django.utils import timezone

from diagnostics import chain, shared_copies
from diagnostics import kind as declared
from diagnostics.kinds import kind_of
from diagnostics.models import Record, SharedSheet, Sheet
from diagnostics.plates import flat, shortened
from diagnostics.shared_copies import ChangedMeanwhile, NotToBeShared
from network.models import Event, Membership

KEPT_OF_A_CHECK = (
    "unit",
    "certified_value",
    "certified_uncertainty",
    "resistor_due",
    "reading",
    "allowed",
    "checked_on",
)
KEPT_OF_AN_INSTRUMENT = ("unit", "highest", "percent_of_reading", "counts", "resolution", "calibration_due")


def draft(sheet: Sheet, *, title: str, serial: str) -> dict[str, Any]:
    """What every member would see, as JSON: the preview shows this, and `freeze` stores this.

    Keys: `title`, `family` (name or None), `part_kind`, `part_number`, `part_serial` (as shown), `serial_shown`,
    `occasion`, `last_hash`, and `records` in order, each as `_record` makes it.
    """
    records = Record.objects.filter(sheet=sheet).select_related("replaces").order_by("sequence")
    return {
        "title": title,
        "family": str(sheet.family) if sheet.family else None,
        "part_kind": sheet.part_kind,
        "part_number": sheet.part_number,
        "part_serial": sheet.part_serial if serial == SharedSheet.Serial.WHOLE else shortened(sheet.part_serial),
        "serial_shown": serial,
        "occasion": sheet.occasion,
        "last_hash": sheet.last_hash,
        "records": [_record(record) for record in records],
    }


@transaction.atomic
def freeze(
    sheet: Sheet, *, by: Membership, title: str = "", serial: str = SharedSheet.Serial.SHORTENED, seen: str = ""
) -> SharedSheet:
    """Store the frozen copy; `seen` is the digest of the draft that was previewed.

    Raises NotToBeShared for a sheet without records or with a broken chain, and ChangedMeanwhile when the sheet got
    another record since the preview.
    """
    sheet = Sheet.objects.select_for_update(of=("self",)).select_related("family").get(pk=sheet.pk)
    if not sheet.length or chain.first_break(sheet) is not None:
        raise NotToBeShared
    body = draft(sheet, title=title or sheet.title, serial=serial)
    text = chain.canonical_text(body)
    if seen and seen != chain.hash_of(text):
        raise ChangedMeanwhile
    whole = serial == SharedSheet.Serial.WHOLE
    copy = SharedSheet.objects.create(
        family=sheet.family,
        **{name: body[name] for name in ("title", "part_kind", "part_number", "part_serial", "serial_shown")},
        occasion=sheet.occasion,
        flat_number=flat(sheet.part_number),
        flat_serial=flat(sheet.part_serial) if whole else "",
        canonical=text,
        hash=chain.hash_of(text),
        last_hash=sheet.last_hash,
        shared_by_workshop=by.workshop,
        shared_by=by.person,
    )
    sheet.copies.add(copy)
    Event.record("sheet_shared", copy, by=by.person, workshop=by.workshop)
    return copy


def take_back(copy: SharedSheet, *, by: Membership) -> bool:
    """The workshop that shared it takes it back; nobody else can. False when that was done already."""
    return shared_copies.take_back(copy, by=by, verb="sheet_taken_back")


def _record(record: Record) -> dict[str, Any]:
    """One record without names, free text and time of day; findings hold value, uncertainty, limit and source."""
    body, kind = record.body, kind_of(record.kind)
    used = body["instrument"]
    return {
        "sequence": record.sequence,
        "replaces": record.replaces.sequence if record.replaces else None,
        "kind": record.kind,
        "subject": record.subject,
        "state": record.state,
        "verdict": record.verdict,
        "taken_on": timezone.localdate(record.taken_at).isoformat(),
        "temperature_c": body["temperature_c"],
        "instrument": used and _instrument(used),
        "concerns": body["concerns"],
        "values": {
            field.name: _shared(field, body["values"].get(field.name)) for field in (kind.fields if kind else ())
            if not isinstance(field, declared.Text)
        },
        "findings": body["findings"],
        "next_steps": body["next_steps"],
        "hash": record.hash,
    }  # fmt: skip


def _instrument(used: dict[str, Any]) -> dict[str, Any]:
    """Its accuracy and its date; of the check that it stands on the figures and the day, not whose certificate."""
    kept = {name: used.get(name) for name in KEPT_OF_AN_INSTRUMENT}
    if check := used.get("check"):
        kept["check"] = {name: check[name] for name in KEPT_OF_A_CHECK}
    return kept


def _shared(field: declared.Field, value: Any) -> Any:
    """A typed value; of a second instrument its accuracy, of a log its figures, not what somebody called them."""
    if not isinstance(value, dict):
        return value
    if isinstance(field, declared.Meter):
        return _instrument(value) | {"concerns": value["concerns"]}
    return {name: one for name, one in value.items() if name == "bound" or not isinstance(one, str)}
