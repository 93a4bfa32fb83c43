"""Measuring: system families, their limits, copies of sheets (shared); instruments, sheets, batteries (private)."""

from diagnostics.models.batteries import Battery, EarlierCapacity
from diagnostics.models.families import FamilyLimit, SystemFamily
from diagnostics.models.instruments import Instrument, InstrumentRange
from diagnostics.models.shared_sheets import PartKind, SharedSheet
from diagnostics.models.sheets import MeasurementLog, Record, Sheet

__all__ = [
    "Battery",
    "EarlierCapacity",
    "FamilyLimit",
    "Instrument",
    "InstrumentRange",
    "MeasurementLog",
    "PartKind",
    "Record",
    "SharedSheet",
    "Sheet",
    "SystemFamily",
]
