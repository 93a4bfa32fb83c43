"""For every kind one reading with everything in order: what is typed, and the limits under which it is within them.

The figures are the ranges that workshops expect (from memory, common practice, no source); the limits are a maker's,
invented for the test. What a kind does with such a reading is told by the calculation's own tests.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from diagnostics.calculations.verdicts import Limit
from diagnostics.kind import Accuracy, Family, Kind, Reading, Value

OPEN = Value(2.0, "at_least")
ACCURACY = Accuracy(percent_of_reading=0.1, counts=1, resolution=0.001)
METER = {
    "name": "Meter 2", "serial": "4471", "calibration_due": "2031-01-01", "unit": "V", "highest": 1000.0,
    "percent_of_reading": 0.1, "counts": 1.0, "resolution": 0.001, "concerns": [],
}  # fmt: skip
HYBRID = Family(
    drive="hybrid", nominal_v=201.6, highest_working_v=650, chemistry="nickel_metal_hydride", blocks=14, rated_ah=6.5,
    machines=2, machine_type="permanent_magnet", connection="wye",
)  # fmt: skip
# One electrical turn of a machine with magnets: the three curves are alike, each a third of a turn after the other.
CURVE = (300.0, 320.0, 340.0, 350.0, 340.0, 320.0)


@dataclass(frozen=True, kw_only=True)
class Sound:
    values: dict[str, Any]
    limits: dict[str, tuple[float, float | None]] = field(default_factory=dict)
    temperature_c: float | None = None
    state: str = ""  # where the last of the kind's states isn't the one of these values

    def reading(self, kind: Kind, **more: Any) -> Reading:
        facts: dict[str, Any] = {
            "values": self.values,
            "temperature_c": self.temperature_c,
            "accuracy": ACCURACY if kind.needs_instrument else None,
            "family": HYBRID,
            "limits": limits_of(kind, self.limits),
            "state": self.state or kind.states[-1],
        }
        return Reading(**facts | more)


def limits_of(
    kind: Kind, figures: dict[str, tuple[float, float | None]], source: str = "maker's manual, edition 4"
) -> dict[str, tuple[Limit, ...]]:
    """The general limits of the kind and these ones of a maker, as a sheet of the family has them."""
    found = dict(kind.general_limits(HYBRID))
    for quantity, (value, upper) in figures.items():
        shape, unit = kind.limitable[quantity]
        own = Limit(kind=shape, value=value, upper=upper, unit=unit, source=source, authority="maker")
        found[quantity] = (*found.get(quantity, ()), own)
    return found


SOUND = {
    "absence_of_voltage": Sound(
        values={
            "makers_wait": "Lanner 14-001", "points": "inverter inlet", "meter_proved_before": True,
            "positive_to_negative_v": 0.3, "positive_to_body_v": 0.1, "negative_to_body_v": 0.2,
            "meter_proved_after": True,
        }
    ),
    "vehicle_isolation": Sound(
        values={
            "pole_to_pole_v": 201.6, "negative_to_body_v": 100.8, "positive_to_body_v": 100.8,
            "resistor_kilohm": 100.8, "resistor_tolerance_percent": 1.0, "with_resistor_v": 9.23, "monitor": "off",
        }
    ),
    "isolation_by_consumer": Sound(
        values={"all_connected_megohm": 2.1, "other_name": "", "without_compressor_megohm": Value(550.0, "at_least")}
    ),
    "link_capacitor_discharge": Sound(
        values={
            "capacitance_microfarad": 1000.0, "start_v": 400.0, "times_s": (0.0, 1.0, 2.0, 3.0),
            "volts_v": (400.0, 160.0, 64.0, 26.0),
        },
        limits={"time_to_60_v": (5, None), "energy_left": (0.2, None)},
    ),
    "machine_windings": Sound(
        values={"leads_milliohm": 0.4, "uv_milliohm": 93.6, "vw_milliohm": 93.9, "wu_milliohm": 95.4},
        limits={"winding_unbalance": (2, None), "winding_resistance": (0.08, 0.1)},
        temperature_c=24.5,
    ),
    "winding_inductance": Sound(
        values={
            "uv_microhenry": CURVE, "vw_microhenry": (*CURVE[2:], *CURVE[:2]), "wu_microhenry": (*CURVE[4:], *CURVE[:4])
        },
        limits={"inductance_difference": (3, None)},
    ),
    "back_voltage": Sound(
        values={"tachometer": METER, "speed_rpm": 500.0, "uv_v": 30.0, "vw_v": 30.1, "wu_v": 29.9},
        limits={"back_voltage_unbalance": (3, None), "back_voltage_constant": (55, 65)},
    ),
    "position_sensor": Sound(
        values={
            "exciter_ohm": 12.0, "sine_ohm": 30.0, "cosine_ohm": 30.5, "insulation_tester": METER,
            "exciter_to_body_megohm": Value(550.0, "at_least"), "sine_to_body_megohm": 480.0,
            "cosine_to_body_megohm": 470.0,
        },
        limits={
            "exciter_resistance": (8, 20), "sine_resistance": (10, 50), "cosine_resistance": (10, 50),
            "sine_cosine_difference": (10, None), "coil_to_body": (10, None),
        },
    ),
    "winding_insulation": Sound(
        values={
            "test_v": "500", "seconds": 60.0, "resistance_megohm": Value(550.0, "at_least"), "filling": "dry",
            "damp": False, "air_c": 20.0, "humidity_percent": 60.0,
        },
        temperature_c=24.5,
    ),
    "power_stage_diodes": Sound(
        values={"stage": "machine_1", "technology": "silicon"}
        | {f"{p}_{side}_forward_v": 0.45 for p in "uvw" for side in ("upper", "lower")}
        | {f"{p}_{side}_reverse_v": OPEN for p in "uvw" for side in ("upper", "lower")}
    ),
    "contactors": Sound(
        values={f"{name}_coil_ohm": 35.0 for name in ("positive", "negative", "precharge")}
        | {f"{name}_open_ohm": Value(1e7, "at_least") for name in ("positive", "negative", "precharge")}
        | {f"{name}_closed_ohm": Value(0.01, "at_most") for name in ("positive", "negative", "precharge")}
        | {"precharge_ohm": 40.0, "rise_time_s": 0.2, "sample_step_s": 0.01},
        limits={
            "contactor_coil": (20, 60), "contactor_closed": (0.05, None), "precharge_resistance": (30, 50),
            "precharge_rise_time": (0.5, None),
        },
    ),
    "interlock_bonding": Sound(
        values={"null_ohm": 0.05, "test_current_a": 0.2, "battery_ohm": 0.07, "inverter_ohm": 0.062, "loop_ohm": 1.5},
        limits={"interlock_loop_resistance": (5, None)},
    ),
    "battery_capacity": Sound(values={"method": "bench", "measured_ah": 5.4}, temperature_c=23.0, state="bench"),
    "block_voltages": Sound(
        values={
            "rest_min": 0.0, "charge_percent": 60.0, "current_a": 20.0,
            "volts": (*(14.4, 14.5, 14.42, 14.46) * 3, 14.44, 14.43),
        },
        limits={"block_spread": (0.3, None)},
    ),
    "pulse_resistance": Sound(
        values={
            "part": "block", "ammeter": METER, "before_v": 14.4, "before_a": 0.0, "after_v": 14.0, "after_a": 20.0,
            "seconds": 10.0, "charge_percent": 60.0, "median_milliohm": 19.0,
        },
        limits={"block_pulse_resistance": (0.045, None), "ratio_to_median_block": (1.5, None)},
        temperature_c=24.0,
    ),
    "fan_sweep": Sound(
        values={
            "air_path": "clear", "measure": "speed", "commanded_percent": (20.0, 40.0, 60.0, 80.0, 100.0),
            "measured": (650.0, 1200.0, 1900.0, 2500.0, 3100.0), "expected": (640.0, 1220.0, 1900.0, 0.0, 3120.0),
        },
        limits={"deviation_from_expected": (10, None)},
    ),
    "coolant_loop": Sound(
        values={
            "level": "good", "air": False, "pump_percent": 60.0, "thermometer": METER, "inlet_c": 40.0,
            "outlet_c": 44.0, "flow_l_per_min": 8.0, "look": "good", "conductivity_meter": METER, "conductivity": 3.0,
        },
        limits={"coolant_flow": (5, None), "coolant_rise": (2, 6), "coolant_conductivity": (100, None)},
    ),
    "dc_supply": Sound(
        values={"rest_v": 12.6, "idle_v": 14.1, "load_a": 40.0, "loaded_v": 13.8, "smart_control": False},
        limits={"supply_rest": (12.2, None), "supply_idle": (13.5, 14.8), "supply_loaded": (13, 14.8)},
    ),
    "charge_inlet": Sound(
        values={
            "wear": "none", "lock": "holds", "sensor_1_ohm": 1000.0, "sensor_2_ohm": 1010.0, "earth_ohm": 0.03,
            "taken_dead": True, "voltmeter": METER, "pilot_a_v": 12.0, "pilot_b_v": 9.1, "pilot_c_v": 6.0,
        },
        limits={
            "inlet_sensor": (950, 1050), "pilot_state_a": (11, 13), "pilot_state_b": (8, 10), "pilot_state_c": (5, 7)
        },
        temperature_c=20.0,
    ),
    "load_run": Sound(
        values={
            "device": "inverter heat sink", "minutes": tuple(float(n) for n in range(13)), "inlet_c": (40.0,) * 13,
            "device_c": (40.0, 50.0, 55.0, 58.0, 59.0, 60.0, 60.0, 60.1, 60.1, 60.0, 60.1, 60.1, 60.0),
        },
        limits={"load_run_rise": (45, None)},
    ),
}  # fmt: skip
