"""The traction battery: capacity, blocks, pulse resistance and fade. Discharge current is positive."""

from diagnostics.calculations.battery.blocks import BlockSpread, assess_blocks, block_spread, weak_blocks
from diagnostics.calculations.battery.capacity import (
    LogCapacity,
    assess_capacity,
    capacity_from_log,
    charge_ah,
    state_of_health_percent,
)
from diagnostics.calculations.battery.fade import CapacityFinding, FadeOutlook, fade_outlook
from diagnostics.calculations.battery.pulse import assess_pulse_resistance, pulse_resistance_ohm

__all__ = [
    "BlockSpread",
    "CapacityFinding",
    "FadeOutlook",
    "LogCapacity",
    "assess_blocks",
    "assess_capacity",
    "assess_pulse_resistance",
    "block_spread",
    "capacity_from_log",
    "charge_ah",
    "fade_outlook",
    "pulse_resistance_ohm",
    "state_of_health_percent",
    "weak_blocks",
]
