"""Measuring: system families and their limits (shared); instruments, sheets, records and logs (private)."""

from diagnostics.models.families import FamilyLimit, SystemFamily
from diagnostics.models.instruments import Instrument, InstrumentRange
from diagnostics.models.sheets import MeasurementLog, Record, Sheet

__all__ = ["FamilyLimit", "Instrument", "InstrumentRange", "MeasurementLog", "Record", "Sheet", "SystemFamily"]
