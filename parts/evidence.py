"""What a used part must show before it is called tested: bench sheets by kind of part, and where it comes from.

Anything that lacks is named; with one lack the answer reads "untested". Only what was shared counts: a frozen copy of a
bench sheet, a picture of the serial plate. A rebuilt part must show its sheets; a repair of the asker's own unit can't.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext_lazy as _

from diagnostics.kinds import all_kinds
from diagnostics.part_kinds import PartKind
from parts.models import Answer

# Kinds of record that a bench sheet holds for a part of this kind (common practice, no source); any sheet for others.
SHEETS: dict[str, tuple[str, ...]] = {
    PartKind.INVERTER: ("power_stage_diodes",),
    PartKind.MACHINE: ("machine_windings", "winding_insulation"),
    PartKind.TRACTION_BATTERY: ("battery_capacity", "block_voltages"),
    PartKind.BATTERY_MODULE: ("battery_capacity",),
    PartKind.DC_CONVERTER: ("dc_supply",),
    PartKind.CHARGE_INLET: ("charge_inlet",),
    PartKind.CABIN_COMPRESSOR: ("winding_insulation",),
    PartKind.CONTACTORS: ("contactors",),
    PartKind.COOLING: ("fan_sweep",),
    PartKind.SENSOR: ("position_sensor",),
}


def asked_for(answer: Answer) -> bool:
    """Whether this answer has to show evidence at all."""
    offered = answer.offer not in (Answer.Offer.ADVICE, Answer.Offer.CAN_BE_REPAIRED)
    return offered and answer.condition in (Answer.Condition.USED, Answer.Condition.REBUILT)


def lacking(answer: Answer, part_kind: str) -> list[Any]:
    """What is asked for and isn't there, in words; empty where all is there, or nothing is asked for."""
    if not asked_for(answer):
        return []
    found = _lacking_sheets(answer, part_kind)
    if answer.condition == Answer.Condition.USED:
        told = (
            (answer.donor_km is not None, _("the donor’s mileage")),
            (answer.removal_reason, _("why it was taken out")),
            (answer.storage, _("how it was stored")),
            (answer.plate_id, _("a picture of its serial plate")),
        )
        found += [words for there, words in told if not there]
    return found


def _lacking_sheets(answer: Answer, part_kind: str) -> list[Any]:
    shown = shown_kinds(answer)
    if shown is None:
        return [_("a bench sheet")]
    kinds = all_kinds()
    return [kinds[code].title for code in SHEETS.get(part_kind, ()) if code not in shown]


def shown_kinds(answer: Answer) -> set[str] | None:
    """Kinds of the standing records on the shared sheet; None without one, or once its workshop took it back."""
    records = standing_records(answer)
    return None if records is None else {record["kind"] for record in records}


def standing_records(answer: Answer) -> list[dict[str, Any]] | None:
    """The records of the frozen copy that no later one replaces; None where no copy is shown."""
    copy = answer.sheet
    if copy is None or copy.taken_back_at is not None or not copy.holds:
        return None
    records = copy.body["records"]
    replaced = {record["replaces"] for record in records}
    return [record for record in records if record["sequence"] not in replaced]


@dataclass(frozen=True, kw_only=True)
class Shown:
    """What the sheet of an answer shows: how many of its records are within their limits, and the worst verdict."""

    within: int
    records: int
    verdict: str


def shown(answer: Answer) -> Shown | None:
    """The verdicts on the shared sheet; None where none is shown."""
    records = standing_records(answer)
    if not records:
        return None
    verdicts = [record["verdict"] for record in records]
    worst = next((one for one in ("outside", "unproven") if one in verdicts), "within")
    return Shown(within=verdicts.count("within"), records=len(verdicts), verdict=worst)
