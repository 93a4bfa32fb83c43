"""Inverter and machine: each is killed by a fault of the other, so each asks for proof of the other."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

from jobs.requirements.every_part import for_part
from jobs.requirements.kinds import ByEntry, ByRecord

COOLING = ByRecord(code="cooling", title=_("Coolant clean and moving, or fan"), kinds=("coolant_loop", "fan_sweep"))
WINDINGS = ByRecord(code="windings", title=_("Machine windings"), kinds=("machine_windings",), each="machine")
INSULATION = ByRecord(
    code="winding_insulation", title=_("Winding insulation"), kinds=("winding_insulation",), each="machine"
)  # fmt: skip
INDUCTANCE = ByRecord(
    code="inductance",
    title=_("Inductance or back-voltage"),
    kinds=("winding_inductance", "back_voltage"),
    each="machine",
)
POSITION = ByRecord(code="position_sensor", title=_("Position sensor"), kinds=("position_sensor",), each="machine")
STAGES_OF_NEW_UNIT = ByRecord(
    code="new_unit_diodes", title=_("Diode check of the new unit"), kinds=("power_stage_diodes",), each="stage"
)  # fmt: skip

INVERTER = for_part(
    live=(COOLING,),
    dead=(
        WINDINGS,
        INSULATION,
        INDUCTANCE,
        POSITION,
        ByEntry(
            code="phase_cables",
            title=_("Phase cables"),
            ask=_("How the phase cables look at both ends and along their way: heat, rubbing, tightness"),
        ),
        ByRecord(code="precharge", title=_("Contactors and precharge"), kinds=("contactors",)),
    ),
    part=(STAGES_OF_NEW_UNIT,),
)

MACHINE = for_part(
    live=(
        ByRecord(code="back_voltage", title=_("Back-voltage"), kinds=("back_voltage",), each="machine"),
    ),
    dead=(
        ByRecord(
            code="inverter_stages", title=_("Stages of the inverter"), kinds=("power_stage_diodes",), each="stage"
        ),
        ByEntry(
            code="current_sensors",
            title=_("Current sensors"),
            ask=_("What each current sensor reads with no current, and how the three compare"),
        ),
        POSITION,
        ByEntry(
            code="offset_learning",
            title=_("Offset of the position sensor can be learnt"),
            ask=_("How the offset will be learnt after fitting, by whom and with which tool"),
        ),
        ByEntry(
            code="oil_clean",
            title=_("Oil or coolant free of metal and water"),
            ask=_("What you saw in the oil or coolant that ran out: metal, water, colour"),
        ),
        ByEntry(code="bearings", title=_("Bearings"), ask=_("How the bearings turn and sound, and their play")),
        INSULATION,
    ),
)  # fmt: skip
