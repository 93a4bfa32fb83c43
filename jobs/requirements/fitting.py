"""What is done while a part is fitted, as data: the network's list for each kind of part. Common practice, no source.

A workshop may keep a list of its own (`jobs/lists.py`). Torque, order and new screws are the maker's.
"""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

from jobs.models import Job
from jobs.requirements.kinds import ByEntry, ByRecord, Requirement

MOUNTED = ByEntry(
    code="mounted",
    title=_("Mounting screws"),
    ask=_("Which screws, in which order, and which are new because the maker asks for it"),
    torque=True,
    dead=True,
)
CONNECTED = ByEntry(
    code="connected",
    title=_("High-voltage connections"),
    ask=_("Which lugs and plugs, seals and locks, and how each was seen to sit"),
    torque=True,
    dead=True,
)
EARTH_STRAP = ByEntry(
    code="earth_strap",
    title=_("Bonding strap of the housing"),
    ask=_("Where the strap sits, bare metal on both sides"),
    torque=True,
    dead=True,
)
BONDING_AFTER = ByRecord(
    code="bonding_after", title=_("Interlock and bonding, measured again"), kinds=("interlock_bonding",)
)  # fmt: skip
COOLANT_FILLED = ByEntry(
    code="coolant_filled",
    title=_("Coolant filled and bled"),
    ask=_("Which coolant, how much went in, and how it was bled"),
)
CODED = ByEntry(
    code="coded",
    title=_("Coding and resets"),
    ask=_("What was coded or written back, which counters were reset, and with which tool"),
)
OFFSET_LEARNT = ByEntry(
    code="offset_learnt",
    title=_("Offset of the position sensor learnt"),
    ask=_("The value before and after, and the procedure it was learnt by"),
)


def for_part(*, dead: tuple[Requirement, ...] = (), woken: tuple[Requirement, ...] = ()) -> tuple[Requirement, ...]:
    """What every part asks, with what this kind adds while the car is dead, and once it has 12 V again."""
    return (MOUNTED, CONNECTED, EARTH_STRAP, *dead, BONDING_AFTER, *woken, CODED)


FITTING: dict[str, tuple[Requirement, ...]] = {
    Job.Part.INVERTER: for_part(woken=(COOLANT_FILLED, OFFSET_LEARNT)),
    Job.Part.MACHINE: for_part(
        woken=(
            ByEntry(
                code="oil_filled",
                title=_("Oil or coolant filled"),
                ask=_("Which oil or coolant, and how much went in"),
            ),
            OFFSET_LEARNT,
        )
    ),
    Job.Part.TRACTION_BATTERY: for_part(
        dead=(
            ByEntry(
                code="enclosure_closed",
                title=_("Enclosure, vent and seal closed"),
                ask=_("Which seal was renewed, and how tightness was tested"),
            ),
        ),
        woken=(
            ByEntry(
                code="capacity_learnt",
                title=_("Battery made known to the car"),
                ask=_("Serial number, capacity and charge as the management unit now shows them"),
            ),
        ),
    ),
    Job.Part.DC_CONVERTER: for_part(woken=(COOLANT_FILLED,)),
    Job.Part.CABIN_COMPRESSOR: for_part(
        woken=(
            ByEntry(
                code="refrigerant_filled",
                title=_("Refrigerant filled"),
                ask=_("By whom, with which certificate, how much by weight, and how long vacuum was held before"),
            ),
        )
    ),
    Job.Part.CHARGER: for_part(woken=(COOLANT_FILLED,)),
    Job.Part.OTHER: for_part(),
}
