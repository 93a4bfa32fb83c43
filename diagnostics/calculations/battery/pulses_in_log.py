"""Pulses found in a log: each step at which a load is put on, with the resistance that it shows."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from diagnostics.calculations import checks
from diagnostics.calculations.measurement_log import MeasurementLog

MOVING = 0.25  # of the smallest step: a current that changes by less from sample to sample stands still
AT_MOST = 500  # pulses that are worth a list; a log of a drive holds thousands of steps


@dataclass(frozen=True, kw_only=True)
class Pulse:
    """A step of the current away from zero, and what the voltage did.

    Fields:
        start_s [s], scalar: the last sample before the step.
        seconds [s], scalar: from the first sample with the new current to the one that was taken as the end.
        before_v [V], scalar: voltage right before the step.
        after_v [V], scalar: voltage at the end.
        before_a [A], scalar: current right before the step, discharge positive.
        after_a [A], scalar: current at the end.
        resistance_ohm [ohm], scalar: below zero where voltage and current rose together: the current's sign is wrong.
    Valid range: made by ``find_pulses``; nothing is checked here.
    Example:
        >>> Pulse(start_s=0.0, seconds=10.0, before_v=3.75, after_v=3.6, before_a=0.0, after_a=5.0,
        ...       resistance_ohm=0.03).resistance_ohm
        0.03

    Source: the project's own rule.
    """

    start_s: float
    seconds: float
    before_v: float
    after_v: float
    before_a: float
    after_a: float
    resistance_ohm: float


def find_pulses(
    *, log: MeasurementLog, smallest_step_a: float, seconds: float = 10.0, shortest_s: float = 1.0
) -> tuple[Pulse, ...]:
    """Return each step of a log at which a load was put on, with its resistance so many seconds later.

    Formula: R = (V before - V after) / (I after - I before), before: the last sample ahead of the step, after: the
    last sample within ``seconds`` of it, or of the pulse where that is shorter. A step is a change of the current by at
    least smallest_step_a over neighbouring samples that each move by a quarter of it; it counts where the current moves
    away from zero, stood still for shortest_s before, and stands still until the end.

    Parameters:
        log [s, V, A], MeasurementLog: as it was read, discharge positive.
        smallest_step_a [A], scalar: the smallest change of the current that is a step.
        seconds [s], scalar: when the resistance is read after the step; 10 s is usual.
        shortest_s [s], scalar: how long the current has to stand still before and after.
    Returns:
        [s, V, A, ohm] the pulses in the order of time, 500 at most.
    Valid range: all three above zero. ``ValueError`` for anything else.
    Example:
        >>> log = MeasurementLog(times_s=np.array([0.0, 1, 2, 2, 7, 12]), volts_v=np.array([4.0, 4, 4, 3.8, 3.75, 3.7]),
        ...                      currents_a=np.array([0.0, 0, 0, 10, 10, 10]), gaps=())
        >>> [(round(pulse.resistance_ohm, 6), pulse.seconds) for pulse in find_pulses(log=log, smallest_step_a=5)]
        [(0.03, 10.0)]

    Source: DOE/ID-11069 FreedomCAR manual (2003), hybrid pulse power characterization, from memory; the bias of long
        pulses: arXiv 2505.06410.
    """
    step = checks.positive(name="smallest_step_a", value=smallest_step_a)
    length = checks.positive(name="seconds", value=seconds)
    shortest = checks.positive(name="shortest_s", value=shortest_s)
    times, volts, currents = log.times_s, log.volts_v, log.currents_a
    before, after = _steps(currents, step)
    if len(before) == 0:
        return ()
    # What a step's new current lasts: until the sample before the next step begins.
    ends = np.append(before[1:], len(times) - 1)
    last = np.minimum(np.searchsorted(times, times[after] + length, side="right") - 1, ends)
    since = np.searchsorted(times, times[before] - shortest, side="left")
    stood = (times[before] - times[np.append(0, after[:-1])] >= shortest) & _alike(currents, since, before, step)
    stands = (times[last] - times[after] >= shortest) & _alike(currents, after, last, step)
    onwards = np.abs(currents[last]) > np.abs(currents[before])
    whole = ~_over_gap(times, before, last, log.gaps)
    kept = np.flatnonzero(stood & stands & onwards & whole)[:AT_MOST]
    return tuple(_pulse(times, volts, currents, at) for at in zip(before[kept], after[kept], last[kept], strict=True))


def _steps(currents: NDArray[np.float64], step: float) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return the samples before and after each step: rows of neighbours that move, and that far in all."""
    moves = np.concatenate([[False], np.abs(np.diff(currents)) >= MOVING * step, [False]])
    begins = np.flatnonzero(moves[1:] & ~moves[:-1])
    ends = np.flatnonzero(~moves[1:] & moves[:-1])
    far = np.abs(currents[ends] - currents[begins]) >= step
    return begins[far], ends[far]


def _alike(
    currents: NDArray[np.float64], first: NDArray[np.intp], second: NDArray[np.intp], step: float
) -> NDArray[np.bool_]:
    """Tell where the current is the same at two samples, as far as a step can tell."""
    return np.abs(currents[second] - currents[first]) <= MOVING * step


def _over_gap(
    times: NDArray[np.float64],
    before: NDArray[np.intp],
    last: NDArray[np.intp],
    gaps: tuple[tuple[float, float], ...],
) -> NDArray[np.bool_]:
    """Tell which pulses have a gap between their two readings."""
    starts = np.array([start for start, _end in gaps])
    return np.searchsorted(starts, times[last]) > np.searchsorted(starts, times[before])


def _pulse(
    times: NDArray[np.float64], volts: NDArray[np.float64], currents: NDArray[np.float64], at: tuple[int, int, int]
) -> Pulse:
    """Return one pulse from its three samples."""
    before, after, last = at
    change = float(currents[last] - currents[before])
    return Pulse(
        start_s=float(times[before]),
        seconds=float(times[last] - times[after]),
        before_v=float(volts[before]),
        after_v=float(volts[last]),
        before_a=float(currents[before]),
        after_a=float(currents[last]),
        resistance_ohm=float(volts[before] - volts[last]) / change + 0.0,
    )
