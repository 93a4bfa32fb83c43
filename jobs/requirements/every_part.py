"""What every high-voltage part asks for, whichever it is. Live and 12 V work comes first: each ends the proof."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

from jobs.requirements.kinds import OPENED, TOUCHED, ByEntry, ByProof, ByReceipt, ByRecord, Requirement

PROCEDURE = ByEntry(
    code="makers_procedure",
    title=_("Maker's procedure"),
    ask=_("Document, edition and page of the maker's procedure that you follow"),
)
ISOLATION = ByRecord(
    code="isolation",
    title=_("Isolation of the rest of the car, the part unplugged"),
    kinds=("vehicle_isolation",),
    waivable=False,
    ended_by=TOUCHED,
)
DEAD = ByProof(code="absence_of_voltage", title=_("Absence of voltage proved"), kind="absence_of_voltage")
BONDING = ByRecord(
    code="bonding", title=_("Interlock and bonding"), kinds=("interlock_bonding",), ended_by=TOUCHED
)  # fmt: skip
CONNECTORS = ByEntry(
    code="connectors_dry",
    title=_("Connectors dry"),
    ask=_("Which connectors you looked into, and what you saw: water, corrosion, burnt or bent pins"),
    ended_by=OPENED,
)
CAUSE = ByEntry(code="cause", title=_("Cause named"), ask=_("What failed, and what made it fail"))
IDENTITY = ByEntry(
    code="identity",
    title=_("Identity of the part, and how it is coded"),
    ask=_(
        "Number, revision marks and software number on the new part; how it will be coded and by whom: donor lock, "
        "immobiliser, licence. If nobody can code it, it is not good"
    ),
    waivable=False,
)
CODING_SAVED = ByEntry(
    code="coding_saved",
    title=_("Coding of the old part saved"),
    ask=_("What was read out of the old part before it was taken out, and where it is kept"),
)
RECEIPT = ByReceipt(code="receipt", title=_("Part inspected on receipt"))
TORQUE_TOOL = ByEntry(
    code="torque_tool", title=_("Torque tool in date"), ask=_("The tool, its number and the day its check is due")
)  # fmt: skip


def for_part(
    *, live: tuple[Requirement, ...] = (), dead: tuple[Requirement, ...] = (), part: tuple[Requirement, ...] = ()
) -> tuple[Requirement, ...]:
    """The list of one kind of part: what it adds live or at 12 V, dead, and on the new part itself."""
    return (
        PROCEDURE, ISOLATION, *live, DEAD, BONDING, CONNECTORS, *dead, CAUSE, CODING_SAVED, IDENTITY, RECEIPT, *part,
        TORQUE_TOOL,
    )  # fmt: skip
