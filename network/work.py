"""Kinds of work that a workshop can be qualified for, as codes and as bits of one integer."""

from collections.abc import Iterable

from django.db import models
from django.utils.translation import gettext_lazy as _


class Work(models.TextChoices):
    """The codes are part of the public API; the order gives each its bit and must not change."""

    INVERTER = "inverter", _("Inverter")
    MACHINE = "machine", _("Electric machine")
    TRACTION_BATTERY = "traction_battery", _("Traction battery")
    ISOLATION_FAULT = "isolation_fault", _("Isolation fault")
    CHARGING = "charging", _("Charging")
    DC_CONVERTER = "dc_converter", _("DC converter")
    CABIN_COMPRESSOR = "cabin_compressor", _("Cabin compressor")
    BOARD_REPAIR = "board_repair", _("Repair of circuit boards")
    GENERAL_DIAGNOSIS = "general_diagnosis", _("General diagnosis")


def to_bits(codes: Iterable[str]) -> int:
    """One bit a code; raises ValueError for a code that is no kind of work."""
    order = Work.values
    return sum(1 << order.index(code) for code in set(codes))


def from_bits(bits: int) -> list[str]:
    """The codes behind the bits, in the order of `Work`."""
    return [code for place, code in enumerate(Work.values) if bits >> place & 1]


def labels(bits: int) -> list[str]:
    """The names behind the bits, in the order of `Work`."""
    return [str(Work(code).label) for code in from_bits(bits)]


# As they stand in a sentence: "qualified for traction batteries".
PHRASES = {
    Work.INVERTER: _("inverters"),
    Work.MACHINE: _("electric machines"),
    Work.TRACTION_BATTERY: _("traction batteries"),
    Work.ISOLATION_FAULT: _("isolation faults"),
    Work.CHARGING: _("charging"),
    Work.DC_CONVERTER: _("DC converters"),
    Work.CABIN_COMPRESSOR: _("cabin compressors"),
    Work.BOARD_REPAIR: _("circuit boards"),
    Work.GENERAL_DIAGNOSIS: _("general diagnosis"),
}


def phrases(bits: int) -> list[str]:
    """The kinds of work behind the bits as they stand in a sentence, in the order of `Work`."""
    return [str(PHRASES[Work(code)]) for code in from_bits(bits)]
