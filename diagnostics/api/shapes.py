"""What the interface for programs answers: the shapes that stand in its description, and the rows put into them."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext_lazy
from rest_framework import serializers

from diagnostics.calculations.verdicts import Verdict
from diagnostics.chain import Break
from diagnostics.kinds import all_kinds, kind_of
from diagnostics.models import InstrumentRange, MeasurementLog, Record, SharedSheet, Sheet, SystemFamily
from diagnostics.models.sheets import CarState
from diagnostics.part_kinds import PartKind
from diagnostics.presenting import Judged, present_record
from network.models import Membership

VERDICTS = [one.value for one in Verdict]
HASH = r"^[0-9a-f]{64}$"


class LimitShape(serializers.Serializer[Any]):
    kind = serializers.ChoiceField(choices=["minimum", "maximum", "range"])
    value = serializers.FloatField()
    upper = serializers.FloatField(allow_null=True, help_text="Upper end, for a range.")
    unit = serializers.CharField()
    source = serializers.CharField()  # type: ignore[assignment]  # a field called as the library's attribute is
    authority = serializers.CharField()


class FindingShape(serializers.Serializer[Any]):
    """One quantity that a record judged: its value corrected to the reference condition, and why the verdict is so."""

    quantity = serializers.CharField()
    value = serializers.FloatField(allow_null=True)
    unit = serializers.CharField()
    uncertainty = serializers.FloatField(allow_null=True, help_text="Expanded, k = 2, in the unit of the value.")
    bound = serializers.CharField(allow_null=True, help_text="at_least or at_most, where the value is a bound.")
    verdict = serializers.ChoiceField(choices=VERDICTS)
    margin_percent = serializers.FloatField(allow_null=True)
    reason = serializers.CharField(help_text="A code; `sentence` of the record says it in words.")
    explanation = serializers.CharField(allow_blank=True)
    concerns = serializers.ListField(child=serializers.CharField())
    limit = LimitShape(allow_null=True)


class JudgedShape(serializers.Serializer[Any]):
    """What a reading proves. Verdicts: within or outside the entered limit, unproven (not enough data)."""

    kind = serializers.ChoiceField(choices=[])
    verdict = serializers.ChoiceField(choices=VERDICTS)
    sentence = serializers.CharField(allow_blank=True)
    next_step = serializers.CharField(allow_blank=True, help_text="The one next thing to do, without enough data.")
    concerns = serializers.ListField(child=serializers.CharField())
    findings = FindingShape(many=True)

    def get_fields(self) -> dict[str, Any]:
        return super().get_fields() | {"kind": serializers.ChoiceField(choices=list(all_kinds()))}


class CheckShape(serializers.Serializer[Any]):
    """The check of that day which an overdue meter's reading stands on."""

    resistor = serializers.CharField()
    serial = serializers.CharField()
    certificate = serializers.CharField()
    resistor_due = serializers.DateField()
    unit = serializers.CharField()
    certified_value = serializers.FloatField()
    certified_uncertainty = serializers.FloatField(help_text="Expanded, k = 2.")
    reading = serializers.FloatField()
    allowed = serializers.FloatField(help_text="The stated accuracy at the certified value.")
    checked_on = serializers.DateField()


class InstrumentUsedShape(serializers.Serializer[Any]):
    name = serializers.CharField()
    serial = serializers.CharField()
    unit = serializers.CharField()
    highest = serializers.FloatField()
    percent_of_reading = serializers.FloatField()
    counts = serializers.FloatField()
    resolution = serializers.FloatField()
    calibration_due = serializers.DateField(allow_null=True)
    check = CheckShape(required=False, help_text="Only where the meter was overdue and checked that day.")


class RecordShape(JudgedShape):
    """A record as it was taken, judged and stored for good."""

    id = serializers.IntegerField()
    sheet = serializers.IntegerField()
    sequence = serializers.IntegerField()
    subject = serializers.CharField(allow_blank=True)
    state = serializers.ChoiceField(choices=CarState.values)
    taken_at = serializers.DateTimeField()
    taken_by = serializers.IntegerField()
    stood_by = serializers.IntegerField(allow_null=True)
    temperature_c = serializers.FloatField(allow_null=True)
    instrument = InstrumentUsedShape(allow_null=True)
    values = serializers.DictField(help_text="As typed, by the names of the kind's fields.")
    remark = serializers.CharField(allow_blank=True)
    log_sha256 = serializers.CharField(allow_null=True)
    replaces = serializers.IntegerField(allow_null=True, help_text="The record that this one corrects.")
    corrected_by = serializers.IntegerField(allow_null=True)
    previous_hash = serializers.CharField(allow_blank=True)
    hash = serializers.RegexField(HASH)


class SheetShape(serializers.Serializer[Sheet]):
    id = serializers.IntegerField()
    title = serializers.CharField()
    family = serializers.IntegerField(source="family_id", allow_null=True)
    part_kind = serializers.CharField(allow_blank=True)
    part_number = serializers.CharField(allow_blank=True)
    part_serial = serializers.CharField(allow_blank=True)
    occasion = serializers.CharField(allow_blank=True)
    made_at = serializers.DateTimeField()
    length = serializers.IntegerField(help_text="How many records stand on it.")
    last_hash = serializers.CharField(allow_blank=True, help_text="Also its ETag; send it as If-Match when you write.")


class NewSheetShape(serializers.Serializer[Any]):
    """A sheet of a part by its serial number, without a job."""

    title = serializers.CharField(max_length=120)
    family = serializers.IntegerField(required=False, allow_null=True, min_value=1)
    part_kind = serializers.ChoiceField(choices=PartKind.choices, required=False, allow_blank=True)
    part_number = serializers.CharField(max_length=40, required=False, allow_blank=True)
    part_serial = serializers.CharField(max_length=60, required=False, allow_blank=True)
    occasion = serializers.ChoiceField(choices=Sheet.Occasion.choices, required=False, allow_blank=True)


class HoldsShape(serializers.Serializer[Any]):
    """Whether the stored records still are what was hashed."""

    holds = serializers.BooleanField()
    first_bad = serializers.IntegerField(allow_null=True, help_text="The place of the first record that does not hold.")
    sentence = serializers.CharField(allow_blank=True)
    length = serializers.IntegerField()
    last_hash = serializers.CharField(allow_blank=True)


class LogShape(serializers.ModelSerializer[MeasurementLog]):
    class Meta:
        model = MeasurementLog
        fields = ["id", "sheet", "sha256", "rows"]
        read_only_fields = fields


class PersonShape(serializers.Serializer[Membership]):
    id = serializers.IntegerField(source="person_id")
    name = serializers.CharField(source="person.name")


class RangeShape(serializers.Serializer[InstrumentRange]):
    id = serializers.IntegerField()
    instrument = serializers.CharField(source="instrument.name")
    serial = serializers.CharField(source="instrument.serial")
    calibration_due = serializers.DateField(source="instrument.calibration_due", allow_null=True)
    unit = serializers.CharField()
    highest = serializers.FloatField()
    percent_of_reading = serializers.FloatField()
    counts = serializers.FloatField()
    resolution = serializers.FloatField()


class FamilyShape(serializers.ModelSerializer[SystemFamily]):
    class Meta:
        model = SystemFamily
        fields = [
            "id", "maker", "name", "drive", "nominal_v", "highest_working_v", "chemistry", "blocks", "rated_ah",
            "machines", "machine_type", "connection",
        ]  # fmt: skip
        read_only_fields = fields


class SharedSheetShape(serializers.Serializer[SharedSheet]):
    """A frozen copy that its workshop shows to every member."""

    id = serializers.IntegerField()
    shared_by = serializers.CharField(source="shared_by_workshop.name")
    shared_at = serializers.DateTimeField()
    holds = serializers.BooleanField(help_text="Whether the copy still is what was shared.")
    hash = serializers.RegexField(HASH)
    copy = serializers.DictField(source="body", help_text="Title, part and records, without names and free text.")


def judged_answer(judged: Judged, concerns: Any, findings: Any) -> dict[str, Any]:
    return {
        "kind": judged.kind.code,
        "verdict": judged.verdict,
        "sentence": str(judged.sentence),
        "next_step": str(judged.next_step),
        "concerns": list(concerns),
        "findings": list(findings),
    }


def record_answer(record: Record) -> dict[str, Any]:
    """A stored record; one of a kind that this version doesn't know keeps its figures, without words."""
    body = record.body
    known = kind_of(record.kind) is not None
    judged = present_record(record) if known else None
    return {
        "kind": record.kind,
        "verdict": record.verdict,
        "sentence": str(judged.sentence) if judged else "",
        "next_step": str(judged.next_step) if judged else "",
        "concerns": body["concerns"],
        "findings": body["findings"],
        "id": record.pk,
        "sheet": record.sheet_id,
        "sequence": record.sequence,
        "subject": record.subject,
        "state": record.state,
        "taken_at": record.taken_at.isoformat(),
        "taken_by": record.taken_by_id,
        "stood_by": record.stood_by_id,
        "temperature_c": body["temperature_c"],
        "instrument": body["instrument"],
        "values": body["values"],
        "remark": record.remark,
        "log_sha256": body["log"],
        "replaces": record.replaces_id,
        "corrected_by": later.pk if (later := getattr(record, "corrected_by", None)) else None,
        "previous_hash": record.previous_hash,
        "hash": record.hash,
    }


def holds_answer(sheet: Sheet, breach: Break | None) -> dict[str, Any]:
    return {
        "holds": breach is None,
        "first_bad": breach.sequence if breach else None,
        "sentence": str(breach.sentence if breach else gettext_lazy("This sheet holds: it is as it was written.")),
        "length": sheet.length,
        "last_hash": sheet.last_hash,
    }
