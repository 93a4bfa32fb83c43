"""Judge an entry, and add it to its sheet as a record.

A reading is judged from what was typed and from what the record knows beside it: the state of the car, who took it
and who stood by, the instrument and whether it is in date, and whether absence of voltage is proved. Whatever is
missing there is a concern, and a reading with a concern is never "within". The page, the API and the demo all add
records through `add_record`, which holds the sheet's row while it appends to the chain.
"""

from __future__ import annotations

import datetime
import secrets
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from django.db import transaction
from django.db.models import F
from django.utils import timezone

from diagnostics import chain, checking
from diagnostics.calculations.measurement_log import MeasurementLog
from diagnostics.calculations.verdicts import Assessment, Finding, Limit, Verdict
from diagnostics.kind import Accuracy, Field, Kind, Reading, Value
from diagnostics.limits import facts_of, limits_that_bind
from diagnostics.log_preview import preview
from diagnostics.models import DisplayPhoto, InstrumentCheck, InstrumentRange, Record, Sheet
from diagnostics.models import MeasurementLog as StoredLog
from diagnostics.models.sheets import CarState
from network.models import Membership, Qualification, User

PROOF_OF_ABSENCE = "absence_of_voltage"
ENDS_THE_PROOF = (CarState.LIVE, CarState.TWELVE_VOLT)


@dataclass(frozen=True, kw_only=True)
class Entry:
    """What somebody types into the form of one kind, cleaned."""

    sheet: Sheet
    kind: Kind
    taken_by: Membership
    state: str
    values: Mapping[str, Any]
    subject: str = ""
    stood_by: User | None = None
    instrument_range: InstrumentRange | None = None
    temperature_c: float | None = None
    remark: str = ""
    log: StoredLog | None = None
    replaces: Record | None = None
    photo: DisplayPhoto | None = None  # of the display, where it was typed later
    taken_at: datetime.datetime = field(default_factory=timezone.now)


def judge(entry: Entry) -> tuple[Reading, Assessment]:
    """The reading with everything that bears on it, and what it proves."""
    return _judge(entry, _trust(entry))


def _judge(entry: Entry, trust: checking.Trust) -> tuple[Reading, Assessment]:
    used = entry.instrument_range
    family = entry.sheet.family
    reading = Reading(
        values=entry.values,
        temperature_c=entry.temperature_c,
        accuracy=Accuracy(percent_of_reading=used.percent_of_reading, counts=used.counts, resolution=used.resolution)
        if used
        else None,
        family=facts_of(family) if family else None,
        limits=limits_that_bind(entry.kind, family),
        concerns=concerns(entry, trust),
        state=entry.state,
    )
    return reading, _with_checks(entry, trust, entry.kind.assess(reading))


def _with_checks(entry: Entry, trust: checking.Trust, assessment: Assessment) -> Assessment:
    """Say where a meter that is out of date is trusted for its check of the day, or that one could still lift it."""
    seconds = [value for value in entry.values.values() if isinstance(value, dict) and "concerns" in value]
    told = ["stands_on_check_of_the_day"] if trust.check or any(one.get("check") for one in seconds) else []
    overdue = {one["unit"] for one in seconds if checking.OVERDUE in one["concerns"]}
    if entry.instrument_range and checking.OVERDUE in trust.concerns:
        overdue.add(entry.instrument_range.unit)
    if overdue & set(checking.LIFTED_UNITS) and entry.kind.code not in checking.NEVER_LIFTED:
        told.append("check_resistor_would_lift")
    return replace(assessment, next_steps=(*assessment.next_steps, *told)) if told else assessment


def _trust(entry: Entry) -> checking.Trust:
    """In the record's own instrument, where the kind needs one; a second one is kept with its own."""
    used = entry.instrument_range
    if not (entry.kind.needs_instrument and used):
        return checking.Trust(concerns=())
    return checking.trust_in(used, kind=entry.kind.code, at=entry.taken_at)


def concerns(entry: Entry, trust: checking.Trust) -> tuple[str, ...]:
    """Why the reading can't prove anything, whatever its figure: reason codes in the order in which they are mended."""
    found: list[str] = []
    if entry.state not in entry.kind.states:
        found.append("wrong_state")
    if entry.state == CarState.DEAD and entry.kind.code != PROOF_OF_ABSENCE and proof_of_absence(entry.sheet) is None:
        found.append("absence_not_proved")
    if entry.kind.code == PROOF_OF_ABSENCE and not entry.sheet.steps_done:
        found.append("steps_not_done")
    if entry.kind.code == PROOF_OF_ABSENCE and not is_qualified(entry.taken_by):
        found.append("not_qualified")
    if (entry.state == CarState.LIVE or entry.kind.second_person) and entry.stood_by is None:
        found.append("missing_second_person")
    if entry.state == CarState.LIVE and not may_work_live(entry.taken_by):
        found.append("not_authorised_live")
    found += trust.concerns
    if entry.kind.needs_temperature and entry.temperature_c is None:
        found.append("missing_temperature")
    if any(_is_missing(field, entry.values) for field in entry.kind.fields):
        found.append("missing")
    return tuple(found)


def _is_missing(field: Field, values: Mapping[str, Any]) -> bool:
    """Whether a field that the kind requires was left out: the form asks again, but not everybody comes by the form."""
    return getattr(field, "required", False) and values.get(field.name) in (None, "", ())


def proof_of_absence(sheet: Sheet) -> Record | None:
    """The proof that stands on this sheet, or None."""
    return proof_among(records_of_turn(sheet.pk))


def records_of_turn(sheet: int) -> Iterable[Record]:
    """The standing records of a sheet since its present turn began, in their order."""
    since = Record.objects.filter(sheet=sheet, sequence__gt=F("sheet__turn_began_at"))
    found: Iterable[Record] = since.standing().order_by("sequence")
    return found


def proof_among(of_turn: Iterable[Record]) -> Record | None:
    """The proof that stands: within its limit, of today, and the car not live, at 12 V or opened since.

    The one place that decides it, from the standing records of a sheet's present turn in their order. `end_proof` ends
    a proof; so does any later record with 12 V on or the car live.
    """
    last = None
    for record in of_turn:
        if record.kind == PROOF_OF_ABSENCE:
            last = record
        elif record.state in ENDS_THE_PROOF:
            last = None
    stands = last and last.verdict == Verdict.WITHIN and timezone.localdate(last.taken_at) == timezone.localdate()
    return last if stands else None


def end_proof(sheet: Sheet) -> None:
    """The car is no longer as it was proved: steps of making safe and proof count no more, a new turn begins."""
    Sheet.objects.filter(pk=sheet.pk).update(turn=F("turn") + 1, turn_began_at=F("length"))
    sheet.refresh_from_db(fields=["turn", "turn_began_at"])


def is_qualified(membership: Membership) -> bool:
    """Holds any qualification that is verified and valid today."""
    return Qualification.objects.valid().filter(holder=membership.person_id).exists()


def may_work_live(membership: Membership) -> bool:
    """Holds one that authorises work on live high-voltage systems."""
    return Qualification.objects.valid().filter(holder=membership.person_id, live_work=True).exists()


@transaction.atomic
def add_record(entry: Entry) -> Record:
    """Append the entry to its sheet, judged, hashed and for good."""
    # The sheet's row is held until the end: two writers would otherwise take the same place in the chain.
    sheet = Sheet.objects.select_for_update().get(pk=entry.sheet.pk)
    entry.sheet.steps_done_in, entry.sheet.turn = sheet.steps_done_in, sheet.turn
    trust = _trust(entry)
    reading, assessment = _judge(entry, trust)
    record = Record(
        sheet=sheet,
        sequence=sheet.length + 1,
        kind=entry.kind.code,
        subject=entry.subject,
        state=entry.state,
        verdict=assessment.verdict,
        taken_at=entry.taken_at,
        taken_by=entry.taken_by.person,
        stood_by=entry.stood_by,
        taken_by_name=entry.taken_by.person.name,
        stood_by_name=entry.stood_by.name if entry.stood_by else "",
        remark=entry.remark,
        log=entry.log,
        replaces=entry.replaces,
        salt=secrets.token_hex(16),
        previous_hash=sheet.last_hash,
    )
    record.canonical = chain.canonical_text(
        {
            **chain.columns_as_hashed(record),
            **chain.words_as_hashed(record),
            "photo": entry.photo.picture.sha256 if entry.photo else None,
            # As it was on the day: limits came from it. A sheet may be given another family later.
            "family": str(sheet.family) if sheet.family else None,
            "values": {name: as_json(value) for name, value in entry.values.items()},
            "temperature_c": entry.temperature_c,
            "instrument": instrument_as_json(entry.instrument_range, check=trust.check),
            "concerns": list(reading.concerns),
            "findings": [finding_as_json(finding) for finding in assessment.findings],
            "next_steps": list(assessment.next_steps),
        }
    )
    record.hash = chain.hash_of(record.canonical)
    record.save()
    sheet.length = record.sequence
    sheet.last_hash = record.hash
    sheet.save(update_fields=["length", "last_hash"])
    if record.state in ENDS_THE_PROOF:
        end_proof(sheet)
    entry.sheet.length, entry.sheet.last_hash = sheet.length, sheet.last_hash
    return record


def as_json(value: Any) -> Any:
    """A typed value as it stands in the record; a bound keeps its figure and which way it is open."""
    if isinstance(value, Value):
        return {"figure": value.figure, "bound": value.bound} if value.bound else value.figure
    if isinstance(value, MeasurementLog):
        return preview(value)
    if isinstance(value, tuple):
        return [as_json(one) for one in value]
    return value


def from_json(value: Any) -> Any:
    """The reverse of `as_json`, as the charts and summaries of the kinds expect it."""
    if isinstance(value, dict) and set(value) == {"figure", "bound"}:
        return Value(**value)
    if isinstance(value, list):
        return tuple(from_json(one) for one in value)
    return value


def instrument_as_json(used: InstrumentRange | None, *, check: InstrumentCheck | None = None) -> dict[str, Any] | None:
    if used is None:
        return None
    due = used.instrument.calibration_due
    stands_on = {"check": checking.check_as_json(check)} if check else {}
    return stands_on | {
        "name": used.instrument.name,
        "serial": used.instrument.serial,
        "calibration_due": due.isoformat() if due else None,
        "unit": used.unit,
        "highest": used.highest,
        "percent_of_reading": used.percent_of_reading,
        "counts": used.counts,
        "resolution": used.resolution,
    }


def kept_meter(used: InstrumentRange, *, kind: str, at: datetime.datetime | None = None) -> dict[str, Any]:
    """What a record keeps of a second instrument: whether it was in date, or checked, on the day stays with it."""
    trust = checking.trust_in(used, kind=kind, at=at or timezone.now())
    return {**(instrument_as_json(used, check=trust.check) or {}), "concerns": list(trust.concerns)}


def finding_as_json(finding: Finding) -> dict[str, Any]:
    limit = finding.limit
    return {
        "quantity": finding.quantity,
        "value": finding.value,
        "unit": finding.unit,
        "uncertainty": finding.uncertainty,
        "bound": finding.bound,
        "verdict": finding.verdict.value,
        "margin_percent": finding.margin_percent,
        "reason": finding.reason,
        "explanation": finding.explanation,
        "concerns": list(finding.concerns),
        "limit": limit
        and {
            "kind": limit.kind,
            "value": limit.value,
            "upper": limit.upper,
            "unit": limit.unit,
            "source": limit.source,
            "authority": limit.authority,
        },
    }


def reading_of(record: Record) -> tuple[Reading, Assessment]:
    """A stored record as its kind judged it then, from its own text: limits and rules of today don't change it."""
    return reading_from(record.body, state=record.state)


def reading_from(body: dict[str, Any], *, state: str) -> tuple[Reading, Assessment]:
    """The same, from the text of a record or of its shared copy."""
    used = body["instrument"]
    findings = tuple(
        Finding(
            **{
                **one,
                "verdict": Verdict(one["verdict"]),
                "concerns": tuple(one["concerns"]),
                "limit": Limit(**one["limit"]) if one["limit"] else None,
            }
        )
        for one in body["findings"]
    )
    reading = Reading(
        values={name: from_json(value) for name, value in body["values"].items()},
        temperature_c=body["temperature_c"],
        accuracy=Accuracy(**{name: used[name] for name in Accuracy.__dataclass_fields__}) if used else None,
        concerns=tuple(body["concerns"]),
        state=state,
    )
    assessment = Assessment(findings=findings, verdict=Verdict(body["verdict"]), next_steps=tuple(body["next_steps"]))
    return reading, assessment
