"""Readings of the demo's Vireo as they are typed, and the meter that they are read with."""

from __future__ import annotations

from typing import Any

from diagnostics.kind import Value
from diagnostics.models import InstrumentRange
from diagnostics.recording import instrument_as_json

INSULATION: dict[str, Any] = {
    "test_v": "500", "seconds": 60.0, "resistance_megohm": Value(550.0, "at_least"), "filling": "dry", "damp": False,
}  # fmt: skip
FAN: dict[str, Any] = {
    "air_path": "clear", "measure": "speed", "commanded_percent": (20.0, 40.0, 60.0, 80.0, 100.0),
    "measured": (640.0, 1210.0, 1880.0, 2520.0, 3090.0),
}  # fmt: skip
BONDING: dict[str, Any] = {
    "null_ohm": 0.05, "test_current_a": 0.2, "battery_ohm": 0.072, "inverter_ohm": 0.064, "loop_ohm": 1.6,
}  # fmt: skip
RELAYS = ("positive", "negative", "precharge")
CONTACTORS: dict[str, Any] = {
    **{f"{name}_coil_ohm": 31.5 for name in RELAYS},
    **{f"{name}_open_ohm": Value(1e7, "at_least") for name in RELAYS},
    **{f"{name}_closed_ohm": Value(0.01, "at_most") for name in RELAYS},
    "precharge_ohm": 21.3, "rise_time_s": 0.21, "sample_step_s": 0.01,
}  # fmt: skip
LOAD_RUN: dict[str, Any] = {
    "device": "heat sink of the inverter", "minutes": tuple(float(minute) for minute in range(13)),
    "inlet_c": (24.0, 24.2, 24.4, 24.5, 24.6, 24.8, 24.8, 24.9, 24.9, 25.0, 25.0, 25.0, 25.0),
    "device_c": (31.0, 36.4, 41.0, 44.2, 46.3, 47.6, 48.3, 48.7, 48.9, 49.0, 49.1, 49.1, 49.1),
}  # fmt: skip
# Inductance over one electrical turn: three curves alike, each a third of a turn after the other.
TURN = (301.0, 322.0, 341.0, 350.0, 340.0, 321.0)
INDUCTANCE: dict[str, Any] = {
    "uv_microhenry": TURN, "vw_microhenry": (*TURN[2:], *TURN[:2]), "wu_microhenry": (*TURN[4:], *TURN[:4]),
}  # fmt: skip


def sensor(tester: InstrumentRange) -> dict[str, Any]:
    """A sound position sensor; the insulation of its coils is read with a second instrument."""
    used = instrument_as_json(tester) or {}
    return {
        "exciter_ohm": 12.1, "sine_ohm": 19.8, "cosine_ohm": 20.2, "insulation_tester": used | {"concerns": ()},
        "exciter_to_body_megohm": Value(550.0, "at_least"), "sine_to_body_megohm": 480.0,
        "cosine_to_body_megohm": 470.0,
    }  # fmt: skip


def diodes(stage: str) -> dict[str, Any]:
    """A sound stage of silicon switches; a boost converter is one pair of them, typed as U."""
    phases = ("u",) if stage == "boost" else ("u", "v", "w")
    sides = [f"{phase}_{side}" for phase in phases for side in ("upper", "lower")]
    return {
        "stage": stage,
        "technology": "silicon",
        **{f"{switch}_forward_v": 0.412 for switch in sides},
        **{f"{switch}_reverse_v": Value(4.0, "at_least") for switch in sides},
    }


def meter(name: str, highest: float) -> InstrumentRange:
    return InstrumentRange.objects.select_related("instrument").get(instrument__name=name, highest=highest)
