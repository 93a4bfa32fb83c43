"""What must be proved before a part is fitted, as data: one list a kind of part, in the order of the work.

A requirement is met by a record of a kind, by an entry that a person signs, or by the receipt of the part. How each
is looked up is in `jobs/clearance.py`.
"""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from jobs.models import Job, SignedEntry


@dataclass(frozen=True, kw_only=True)
class ByRecord:
    """Met by a standing record of this kind that is within its limits; for each machine where the kind asks so."""

    code: str
    title: str | Promise
    kind: str


@dataclass(frozen=True, kw_only=True)
class ByProof:
    """Met while the proof of absence of voltage stands: of today, and the car not live or at 12 V since."""

    code: str
    title: str | Promise
    kind: str


@dataclass(frozen=True, kw_only=True)
class ByEntry:
    """Met by the newest signed entry of this step, if it says that all is good. `ask` is what the signer writes."""

    code: str
    title: str | Promise
    step: SignedEntry.Step
    ask: str | Promise


@dataclass(frozen=True, kw_only=True)
class ByReceipt:
    """Met when the part was received with its number and revision marks as ordered."""

    code: str
    title: str | Promise


Requirement = ByRecord | ByProof | ByEntry | ByReceipt

INVERTER: tuple[Requirement, ...] = (
    ByEntry(
        code="makers_procedure",
        title=_("Maker's procedure"),
        step=SignedEntry.Step.MAKERS_PROCEDURE,
        ask=_("Document, edition and page of the maker's procedure that you follow"),
    ),
    ByRecord(code="isolation", title=_("Isolation of the vehicle"), kind="vehicle_isolation"),
    ByProof(code="absence_of_voltage", title=_("Absence of voltage proved"), kind="absence_of_voltage"),
    ByRecord(code="windings", title=_("Machine windings"), kind="machine_windings"),
    ByRecord(code="winding_insulation", title=_("Winding insulation"), kind="winding_insulation"),
    ByEntry(
        code="cooling",
        title=_("Cooling proved"),
        step=SignedEntry.Step.COOLING,
        ask=_("How you proved that coolant or air really moves, with figures"),
    ),
    ByEntry(
        code="cause",
        title=_("Cause named"),
        step=SignedEntry.Step.CAUSE,
        ask=_("What failed, and what made it fail"),
    ),
    ByReceipt(code="receipt", title=_("Part inspected on receipt")),
)

REQUIREMENTS: dict[str, tuple[Requirement, ...]] = {Job.Part.INVERTER: INVERTER}
