"""What a log tells: charge, energy, voltages at rest, pulses, gaps and clock; kept as plain figures beside the log."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from diagnostics.calculations.battery import capacity_from_log
from diagnostics.calculations.battery.pulses_in_log import find_pulses
from diagnostics.calculations.battery.rests_in_log import find_rests
from diagnostics.calculations.measurement_log import MeasurementLog
from diagnostics.calculations.measurement_log.clock import clock_of
from diagnostics.calculations.measurement_log.envelope import envelope

BUCKETS = 280
SECONDS_PER_HOUR = 3600.0
QUIET_SHARE = 0.02  # of the largest current: below it a battery rests, unless a figure is typed
STEP_SHARE = 0.2  # of the largest current: what counts as a step of the load, unless a figure is typed
SHOWN = 40  # pulses and gaps that are listed


def find(
    log: MeasurementLog, settings: Mapping[str, Any], temperatures: NDArray[np.float64] | None = None
) -> dict[str, Any]:
    """Everything that is found, as it is kept beside the log (JSON: figures, rows and words)."""
    before, after = settings.get("zero_before_a"), settings.get("zero_after_a")
    zero, apart = (0.0, None) if before is None or after is None else ((before + after) / 2.0, abs(after - before))
    level = dataclasses.replace(log, currents_a=log.currents_a - zero)
    largest = float(np.abs(level.currents_a).max())
    quiet = max(settings.get("quiet_a") or QUIET_SHARE * largest, 1e-9)
    step = settings.get("step_a") or STEP_SHARE * largest or 1.0
    counted = capacity_from_log(log=level, cut_off_v=settings.get("cut_off_v"))
    pulses = find_pulses(log=level, smallest_step_a=step, seconds=settings.get("pulse_s") or 10.0)
    drift = None if apart is None else apart / 2.0 * counted.duration_s / SECONDS_PER_HOUR
    return {
        "rows": len(log.times_s),
        "duration_s": float(log.times_s[-1] - log.times_s[0]),
        "counted_s": counted.duration_s,
        "charge_ah": counted.charge_ah,
        "energy_wh": counted.energy_wh,
        "drift_ah": drift,
        "cut_off_reached": _reached(log, settings.get("cut_off_v")),
        "quiet_a": quiet,
        "step_a": step,
        "lowest_v": float(log.volts_v.min()),
        "highest_v": float(log.volts_v.max()),
        "largest_a": float(log.currents_a.max()),
        "smallest_a": float(log.currents_a.min()),
        "rests": [dataclasses.asdict(rest) for rest in find_rests(log=level, quiet_a=quiet)][-SHOWN:],
        "pulse_count": len(pulses),
        "pulses": [dataclasses.asdict(pulse) for pulse in pulses[:SHOWN]],
        "median_ohm": float(np.median([pulse.resistance_ohm for pulse in pulses])) if pulses else None,
        "temperature_c": [float(temperatures.min()), float(temperatures.max())] if temperatures is not None else None,
        **_clock(log),
        **_envelopes(log),
    }


def _reached(log: MeasurementLog, cut_off_v: float | None) -> bool | None:
    return None if cut_off_v is None else bool((log.volts_v <= cut_off_v).any())


def _clock(log: MeasurementLog) -> dict[str, Any]:
    clock = clock_of(log=log)
    start = float(log.times_s[0])
    forward = set(clock.set_forward)
    return {
        "first_s": start,
        "median_step_s": clock.median_step_s,
        "equal_times": clock.equal_times,
        "gap_count": len(clock.gaps),
        "gap_s": float(sum(end - begun for begun, end in clock.gaps)),
        "charge_in_gaps_ah": clock.charge_in_gaps_ah,
        "gaps": [
            {"after_s": begun - start, "lasts_s": end - begun, "clock_set": (begun, end) in forward}
            for begun, end in clock.gaps[:SHOWN]
        ],
    }


def _envelopes(log: MeasurementLog) -> dict[str, Any]:
    """Lowest and highest of each stretch of time, for the chart."""
    volts = envelope(times_s=log.times_s, values=log.volts_v, buckets=BUCKETS)
    currents = envelope(times_s=log.times_s, values=log.currents_a, buckets=BUCKETS)
    return {
        "at_s": (volts.times_s - log.times_s[0]).round(6).tolist(),
        "volts": [volts.lowest.tolist(), volts.highest.tolist()],
        "currents": [currents.lowest.tolist(), currents.highest.tolist()],
    }
