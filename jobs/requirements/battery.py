"""Traction battery: it is live whatever is disconnected, and what it feeds must not be the cause of its end."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

from jobs.requirements.every_part import for_part
from jobs.requirements.kinds import TOUCHED, ByEntry, ByRecord

TRACTION_BATTERY = for_part(
    dead=(
        ByRecord(code="contactors", title=_("Contactors not welded, precharge"), kinds=("contactors",)),
        ByEntry(
            code="pack_fuse",
            title=_("Fuse"),
            ask=_("Which fuse was measured, its resistance, and its rating against the maker's"),
        ),
        ByRecord(
            code="consumers",
            title=_("Every consumer isolated"),
            kinds=("isolation_by_consumer",),
            ended_by=TOUCHED,
        ),
        ByEntry(
            code="pack_cooling",
            title=_("Cooling, vent and enclosure"),
            ask=_("Cooling and its filter, the vent to the outside, and the enclosure: seals, corrosion, dents"),
        ),
        ByEntry(
            code="not_damaged",
            title=_("No crash or flood"),
            ask=_("How you know that neither the car's floor nor the new battery was in a crash or in water"),
        ),
        ByEntry(
            code="lifting_plan",
            title=_("Lifting plan"),
            ask=_("Weight, lifting points, table or hoist, who stands where, and where the old battery goes"),
        ),
    ),
    part=(
        ByRecord(code="blocks_matched", title=_("Blocks matched"), kinds=("block_voltages",)),
        ByEntry(
            code="management_software",
            title=_("Software of the battery's management"),
            ask=_("Software number of the management unit, and that it fits this car"),
        ),
    ),
)
