"""What proves a repair before the car is handed over, as data: the network's list for each kind of part.

Common practice, no source. Only evidence that is younger than the fitting counts. A workshop may keep a list of its
own (`jobs/lists.py`), but isolation after fitting stays on every list.
"""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

from jobs.models import Job
from jobs.requirements.kinds import ByCodes, ByEntry, ByOutlook, ByRecord, Requirement

ISOLATION_AFTER = ByRecord(
    code="isolation_after",
    title=_("Isolation of the whole car, measured after fitting"),
    kinds=("vehicle_isolation",),
    waivable=False,
)
COOLING_STEPS = ByRecord(
    code="cooling_steps", title=_("Fan or pump through its steps"), kinds=("fan_sweep", "coolant_loop")
)  # fmt: skip
LOAD_RUN = ByRecord(code="load_run", title=_("Load run with temperatures"), kinds=("load_run",))
ROAD_TEST = ByEntry(
    code="road_test",
    title=_("Road test"),
    ask=_("How far, which load, what you felt and heard, and who drove"),
)
CODES_READ = ByCodes(code="codes_read", title=_("Codes cleared, and read again after the run"))
OUTLOOK = ByOutlook(code="outlook", title=_("Battery outlook"))


def for_part(*own: Requirement) -> tuple[Requirement, ...]:
    """What every part asks, with what this kind adds before the run."""
    return (ISOLATION_AFTER, *own, ROAD_TEST, CODES_READ, OUTLOOK)


PROVING: dict[str, tuple[Requirement, ...]] = {
    Job.Part.INVERTER: for_part(COOLING_STEPS, LOAD_RUN),
    Job.Part.MACHINE: for_part(COOLING_STEPS, LOAD_RUN),
    Job.Part.TRACTION_BATTERY: for_part(
        ByRecord(code="blocks_after", title=_("Blocks under load"), kinds=("block_voltages",)),
        ByEntry(
            code="battery_cooling",
            title=_("Cooling of the battery"),
            ask=_("How its fan or pump was made to run, and what came out"),
        ),
    ),
    Job.Part.DC_CONVERTER: for_part(
        ByRecord(code="supply_after", title=_("12 V supply under load"), kinds=("dc_supply",)), COOLING_STEPS
    ),
    Job.Part.CABIN_COMPRESSOR: for_part(
        ByEntry(
            code="running_pressures",
            title=_("Pressures and vent temperature while it runs"),
            ask=_("Both pressures, air outside, air at the vent, after how many minutes"),
        ),
    ),
    Job.Part.CHARGER: for_part(
        ByEntry(
            code="charged",
            title=_("Charged at its supply"),
            ask=_("At which supply, how long, the power it reached, and how it ended"),
        ),
        COOLING_STEPS,
    ),
    Job.Part.OTHER: for_part(),
}
