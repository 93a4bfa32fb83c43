"""What must be proved before a part is fitted, as data: one list a kind of part, in the order of the work."""

from __future__ import annotations

from jobs.models import Job
from jobs.requirements.battery import TRACTION_BATTERY
from jobs.requirements.every_part import for_part
from jobs.requirements.kinds import ByCodes, ByEntry, ByOutlook, ByProof, ByReceipt, ByRecord, Requirement
from jobs.requirements.power import INVERTER, MACHINE
from jobs.requirements.supply import CABIN_COMPRESSOR, CHARGER, DC_CONVERTER

__all__ = ["REQUIREMENTS", "ByCodes", "ByEntry", "ByOutlook", "ByProof", "ByReceipt", "ByRecord", "Requirement"]

REQUIREMENTS: dict[str, tuple[Requirement, ...]] = {
    Job.Part.INVERTER: INVERTER,
    Job.Part.MACHINE: MACHINE,
    Job.Part.TRACTION_BATTERY: TRACTION_BATTERY,
    Job.Part.DC_CONVERTER: DC_CONVERTER,
    Job.Part.CABIN_COMPRESSOR: CABIN_COMPRESSOR,
    Job.Part.CHARGER: CHARGER,
    Job.Part.OTHER: for_part(),
}
