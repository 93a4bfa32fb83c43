"""A battery at rest, found in a log: stretches without current, the voltage at their end, and whether it settled."""

from dataclasses import dataclass

import numpy as np

from diagnostics.calculations import checks
from diagnostics.calculations.measurement_log import MeasurementLog

WINDOW_S = 60.0  # at the end of a rest, over which voltage and drift are taken; the project's own rule
SECONDS_PER_HOUR = 3600.0  # SI brochure, 9th edition, table 8


@dataclass(frozen=True, kw_only=True)
class Rest:
    """A stretch of a log without current.

    Fields:
        start_s [s], scalar: its first sample.
        rested_s [s], scalar: how long it lasted.
        voltage_v [V], scalar: mean over the last minute, or over all of it where it is shorter.
        drift_v_per_hour [V/h], scalar: slope over the same stretch; what is far from zero hasn't settled.
    Valid range: made by ``find_rests``; nothing is checked here.
    Example:
        >>> Rest(start_s=0.0, rested_s=1800.0, voltage_v=3.7, drift_v_per_hour=0.01).voltage_v
        3.7

    Source: the project's own rule.
    """

    start_s: float
    rested_s: float
    voltage_v: float
    drift_v_per_hour: float


def find_rests(*, log: MeasurementLog, quiet_a: float, shortest_s: float = 60.0) -> tuple[Rest, ...]:
    """Return the stretches of a log in which no current flowed, each with its voltage at rest.

    Formula: a rest is a row of samples with abs(current) <= quiet_a that lasts shortest_s or longer, and ends at a gap;
    voltage and drift are mean and least-squares slope of the volts over its last minute.

    Parameters:
        log [s, V, A], MeasurementLog: as it was read, the clamp's zero taken off.
        quiet_a [A], scalar: what still counts as no current: the clamp's own noise.
        shortest_s [s], scalar: the shortest stretch that counts.
    Returns:
        [s, V, V/h] the rests in the order of time.
    Valid range: quiet_a from zero up, shortest_s above zero. ``ValueError`` for anything else.
    Example:
        >>> log = MeasurementLog(times_s=np.array([0.0, 60, 120, 120, 180]), volts_v=np.array([4.0, 4, 4, 3.8, 3.7]),
        ...                      currents_a=np.array([0.0, 0, 0, 5, 5]), gaps=())
        >>> find_rests(log=log, quiet_a=0.1)
        (Rest(start_s=0.0, rested_s=120.0, voltage_v=4.0, drift_v_per_hour=0.0),)

    Source: rest before the open-circuit voltage is read: IEC 62660-1 and DOE/ID-11069, both from memory; which stretch
        counts is the project's own rule.
    """
    quiet = checks.not_negative(name="quiet_a", value=quiet_a)
    shortest = checks.positive(name="shortest_s", value=shortest_s)
    times, volts = log.times_s, log.volts_v
    still = np.abs(log.currents_a) <= quiet
    # Where a stretch begins and where the next one does; a gap ends it, since nobody saw what flowed there.
    changes = np.flatnonzero(still[1:] != still[:-1]) + 1
    holes = np.searchsorted(times, [end for _start, end in log.gaps])
    borders = np.unique(np.concatenate([[0], changes, holes, [len(times)]]))
    rests = []
    for first, after in zip(borders[:-1].tolist(), borders[1:].tolist(), strict=True):
        if still[first] and times[after - 1] - times[first] >= shortest:
            begin = max(int(np.searchsorted(times, times[after - 1] - WINDOW_S)), first)
            voltage, drift = _level(times[begin:after], volts[begin:after])
            rests.append(
                Rest(
                    start_s=float(times[first]),
                    rested_s=float(times[after - 1] - times[first]),
                    voltage_v=voltage,
                    drift_v_per_hour=drift * SECONDS_PER_HOUR,
                )
            )
    return tuple(rests)


def _level(times: np.ndarray, volts: np.ndarray) -> tuple[float, float]:
    """Return mean and slope of some samples; the slope is 0 where they are of one instant."""
    mean = float(volts.mean())
    apart = times - times.mean()
    square = float(apart @ apart)
    return mean, float(apart @ (volts - mean)) / square if square > 0.0 else 0.0
