"""What the times of a log tell about its clock: gaps, jumps of whole hours, samples of one instant."""

from dataclasses import dataclass

import numpy as np

from diagnostics.calculations.measurement_log import MeasurementLog

SECONDS_PER_HOUR = 3600.0  # SI brochure, 9th edition, table 8


@dataclass(frozen=True, kw_only=True)
class Clock:
    """How the clock of a log ran.

    Fields:
        median_step_s [s], scalar: the usual time from sample to sample; 0.0 for a single one.
        gaps [s], row of pairs: start and end of each step in which samples are missing.
        set_forward [s], row of pairs: those of the gaps that are whole half hours: rather a clock that was set.
        equal_times [-], scalar: samples that have the same time as the one before.
        charge_in_gaps_ah [Ah], scalar: what a straight line over the gaps adds to the charge: nobody measured it.
    Valid range: made by ``clock_of``; nothing is checked here.
    Example:
        >>> Clock(median_step_s=1.0, gaps=(), set_forward=(), equal_times=0, charge_in_gaps_ah=0.0).gaps
        ()

    Source: the project's own rule.
    """

    median_step_s: float
    gaps: tuple[tuple[float, float], ...]
    set_forward: tuple[tuple[float, float], ...]
    equal_times: int
    charge_in_gaps_ah: float


def clock_of(*, log: MeasurementLog) -> Clock:
    """Return what the times of a log tell about its clock.

    Formula: a gap is a step over three times the median one; a clock was set forward where a gap, less one usual step,
    is within two usual steps of a whole number of half hours. Charge in gaps = sum of (t1 - t0) (I0 + I1) / 2 / 3600.

    Parameters:
        log [s, V, A], MeasurementLog: as it was read.
    Returns:
        [s, Ah] the clock.
    Valid range: one sample or more.
    Example:
        >>> times = np.array([0.0, 1, 2, 3603, 3604])
        >>> log = MeasurementLog(times_s=times, volts_v=times, currents_a=np.ones(5), gaps=((2.0, 3603.0),))
        >>> clock_of(log=log).set_forward
        ((2.0, 3603.0),)

    Source: the project's own rule: summer time and half-hour zones move clocks by whole half hours.
    """
    steps = np.diff(log.times_s)
    usual = float(np.median(steps)) if len(steps) else 0.0
    at = np.searchsorted(log.times_s, [end for _start, end in log.gaps])
    charge = 0.0
    for (start, end), position in zip(log.gaps, at.tolist(), strict=True):
        charge += (end - start) * float(log.currents_a[position] + log.currents_a[position - 1]) / 2.0
    return Clock(
        median_step_s=usual,
        gaps=log.gaps,
        set_forward=tuple(gap for gap in log.gaps if _whole_half_hours(gap[1] - gap[0] - usual, 2.0 * usual)),
        equal_times=int(np.count_nonzero(steps == 0.0)),
        charge_in_gaps_ah=charge / SECONDS_PER_HOUR,
    )


def _whole_half_hours(seconds: float, tolerance: float) -> bool:
    """Tell whether a time is a whole number of half hours, one at least."""
    half_hours = round(seconds / (SECONDS_PER_HOUR / 2.0))
    return half_hours >= 1 and abs(seconds - half_hours * SECONDS_PER_HOUR / 2.0) <= tolerance
