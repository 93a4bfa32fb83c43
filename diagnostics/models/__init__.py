"""Measuring: system families, their limits, copies of sheets (shared); instruments, sheets, batteries (private)."""

from diagnostics.models.batteries import Battery, EarlierCapacity
from diagnostics.models.families import ExpectedReading, FamilyLimit, SystemFamily
from diagnostics.models.instruments import CheckResistor, Instrument, InstrumentCheck, InstrumentRange
from diagnostics.models.logs import LogShape, MeasurementLog
from diagnostics.models.photos import DisplayPhoto
from diagnostics.models.reference import ReferenceReading, SharedFigures
from diagnostics.models.shared_sheets import SharedSheet
from diagnostics.models.sheets import Record, Sheet

__all__ = [
    "Battery",
    "CheckResistor",
    "DisplayPhoto",
    "EarlierCapacity",
    "ExpectedReading",
    "FamilyLimit",
    "Instrument",
    "InstrumentCheck",
    "InstrumentRange",
    "LogShape",
    "MeasurementLog",
    "Record",
    "ReferenceReading",
    "SharedFigures",
    "SharedSheet",
    "Sheet",
    "SystemFamily",
]
