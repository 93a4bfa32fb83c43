"""Measuring: system families and their limits (shared); instruments, sheets, records, logs and batteries (private)."""

from diagnostics.models.batteries import Battery, EarlierCapacity
from diagnostics.models.families import FamilyLimit, SystemFamily
from diagnostics.models.instruments import Instrument, InstrumentRange
from diagnostics.models.sheets import MeasurementLog, Record, Sheet

__all__ = [
    "Battery",
    "EarlierCapacity",
    "FamilyLimit",
    "Instrument",
    "InstrumentRange",
    "MeasurementLog",
    "Record",
    "Sheet",
    "SystemFamily",
]
