"""How much charge a battery still gives: counted from samples, and judged by how it was got."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from diagnostics.calculations import checks
from diagnostics.calculations.measurement_log import MeasurementLog
from diagnostics.calculations.observations import assess_with_steps
from diagnostics.calculations.verdicts import COMMON_PRACTICE, Assessment, Limit, choose_limit, judge, propagate

SECONDS_PER_HOUR = 3600.0  # SI brochure, 9th edition, table 8
METHODS = ("bench", "in_car", "module_estimate")
VEHICLES = ("hybrid", "electric")
# Common practice, no source: where fuel economy and drivability of a hybrid suffer badly.
HYBRID_LIMIT = Limit(kind="minimum", value=40.0, unit="%", source=COMMON_PRACTICE, authority="common practice")
STEP_FOR_REASON = {
    "bound_undecided": "discharge_to_cut_off",
    "missing_clamp_zero": "zero_clamp_before_and_after",
    "log_has_gaps": "log_discharge_again",
}


@dataclass(frozen=True, kw_only=True)
class LogCapacity:
    """What a logged discharge gave.

    Fields:
        charge_ah [Ah], scalar: the charge, discharge positive.
        energy_wh [Wh], scalar: the energy.
        duration_s [s], scalar: from the first sample to the last one counted.
    Valid range: made by ``capacity_from_log``; nothing is checked here.
    Example:
        >>> LogCapacity(charge_ah=6.5, energy_wh=90.0, duration_s=3600.0).charge_ah
        6.5

    Source: the project's own rule.
    """

    charge_ah: float
    energy_wh: float
    duration_s: float


def charge_ah(*, times_s: checks.Row, currents_a: checks.Row) -> float:
    """Return the charge that flowed while a current was sampled.

    Formula: Q = sum of (t[k+1] - t[k]) (I[k] + I[k+1]) / 2, divided by 3600 (trapezoid).

    Parameters:
        times_s [s], row: time of each sample, never falling; equal times are a step of the current.
        currents_a [A], row: current at each of them, discharge positive.
    Returns:
        [Ah] the charge, discharge positive; 0.0 for a single sample.
    Valid range: one sample or more; a million take as long as numpy's own trapezoid. ``ValueError`` for times that run
        backwards, lengths that differ, and what is no finite number.
    Example:
        >>> charge_ah(times_s=[0.0, 1800.0, 3600.0], currents_a=[5.0, 5.0, 5.0])
        5.0

    Source: coulomb counting by the trapezoid rule, reference value 5.1.
    """
    return _integral(times_s, currents_a, "currents_a") / SECONDS_PER_HOUR


def state_of_health_percent(*, measured_ah: float, rated_ah: float) -> float:
    """Return the capacity that is left in percent of the rated one.

    Formula: 100 x measured / rated.

    Parameters:
        measured_ah [Ah], scalar: what was measured.
        rated_ah [Ah], scalar: what the maker states.
    Returns:
        [%] the state of health; above 100 where a battery gives more than rated.
    Valid range: measured from zero up, rated above zero. ``ValueError`` for anything else.
    Example:
        >>> state_of_health_percent(measured_ah=3.38, rated_ah=6.5)
        52.0

    Source: USABC and IEC 62660-1 usage, from memory.
    """
    measured = checks.not_negative(name="measured_ah", value=measured_ah)
    rated = checks.positive(name="rated_ah", value=rated_ah)
    return checks.carried(name="state_of_health_percent", value=100.0 * measured / rated)


def capacity_from_log(*, log: MeasurementLog, cut_off_v: float | None = None) -> LogCapacity:
    """Return charge and energy of a logged discharge, up to and including the first sample at or below the cut-off.

    Formula: Q = integral of I dt / 3600, E = integral of U I dt / 3600, both by the trapezoid over the samples counted.

    Parameters:
        log [s, V, A], MeasurementLog: the discharge.
        cut_off_v [V], scalar or None: the voltage at which it ends; None counts the whole log.
    Returns:
        [Ah, Wh, s] charge, energy and duration.
    Valid range: one sample or more; a cut-off that is never reached counts the whole log. ``ValueError`` for times that
        run backwards, lengths that differ, and what is no finite number.
    Example:
        >>> log = MeasurementLog(times_s=[0, 1800, 3600], volts_v=[4.0, 3.0, 2.0], currents_a=[2, 2, 2], gaps=())
        >>> capacity_from_log(log=log, cut_off_v=3.0)
        LogCapacity(charge_ah=1.0, energy_wh=3.5, duration_s=1800.0)

    Source: reference value 5.1.
    """
    times = checks.times_row(name="times_s", values=log.times_s, at_least=1)
    volts = checks.row(name="volts_v", values=log.volts_v)
    currents = checks.row(name="currents_a", values=log.currents_a)
    checks.same_length(first_name="times_s", first=times, second_name="volts_v", second=volts)
    checks.same_length(first_name="times_s", first=times, second_name="currents_a", second=currents)
    last = _cut_off_position(volts, cut_off_v)
    counted = slice(None if last is None else last + 1)
    times, volts, currents = times[counted], volts[counted], currents[counted]
    return LogCapacity(
        charge_ah=charge_ah(times_s=times, currents_a=currents),
        energy_wh=_integral(times, _power(volts, currents), "volts_v x currents_a") / SECONDS_PER_HOUR,
        duration_s=float(times[-1]) - float(times[0]),
    )


def assess_capacity(
    *,
    method: str,
    rated_ah: float,
    log: MeasurementLog | None = None,
    cut_off_v: float | None = None,
    measured_ah: float | None = None,
    zero_before_a: float | None = None,
    zero_after_a: float | None = None,
    percent_of_reading: float | None = None,
    vehicle: str = "hybrid",
    limits: Sequence[Limit] = (),
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return whether a battery has enough capacity left, told by how the capacity was got.

    Formula: from a log, Q = counted charge - (zero before + zero after) / 2 x duration, and
    U(Q) = sqrt((percent Q / 100)^2 + (abs(zero after - zero before) / 2 x duration)^2); from a figure, Q as it stands
    and U(Q) = percent Q / 100; both divided by the rated capacity. A log that doesn't reach its cut-off gives "at
    least".

    Parameters:
        method [-], text: bench, in_car or module_estimate; it is part of the finding's name.
        rated_ah [Ah], scalar: what the maker states.
        log [s, V, A], MeasurementLog or None: the discharge.
        cut_off_v [V], scalar or None: where it ends; None: nobody knows whether the log got there.
        measured_ah [Ah], scalar or None: a figure in place of the log, from a tester or the car's own module.
        zero_before_a [A], scalar or None: what the current clamp showed without current before the discharge.
        zero_after_a [A], scalar or None: and after it.
        percent_of_reading [%], scalar or None: U (k = 2) of the clamp or the tester; None where it isn't known.
        vehicle [-], text: hybrid (at least 40 %, unless a limit goes before) or electric (the given limits only).
        limits [%], row of Limit: the maker's and others.
        concerns [-], row of texts: reason codes that the record adds.
    Returns:
        [-] an assessment of one finding, capacity_bench, capacity_in_car or capacity_module_estimate, in percent of
            rated; concerns of its own: missing_clamp_zero, log_has_gaps.
    Valid range: ``ValueError`` for both a log and a figure, an unknown method or vehicle, a net charge below zero, and
        what ``capacity_from_log`` refuses.
    Example:
        >>> assess_capacity(method="bench", rated_ah=6.5, measured_ah=3.38, percent_of_reading=2.0).verdict.value
        'within'
        >>> assess_capacity(method="module_estimate", rated_ah=6.5, measured_ah=3.38).next_steps
        ('measure_capacity_on_bench',)

    Source: common practice, no source (40 %); the rest is the project's own rule: 0.5 A over three hours are 1.5 Ah.
    """
    checks.choice(name="method", value=method, allowed=METHODS)
    checks.choice(name="vehicle", value=vehicle, allowed=VEHICLES)
    if log is not None and measured_ah is not None:
        raise ValueError(f"The argument measured_ah must be None beside a log, but it is {measured_ah!r}.")
    charge, drift, bound = measured_ah, 0.0, None
    own: list[str] = []
    if log is not None:
        charge, drift, own = _corrected(log, cut_off_v, zero_before_a, zero_after_a)
        reached = _cut_off_position(checks.row(name="volts_v", values=log.volts_v), cut_off_v) is not None
        bound = None if reached else "at_least"
    finding = judge(
        quantity=f"capacity_{method}",
        value=None if charge is None else state_of_health_percent(measured_ah=charge, rated_ah=rated_ah),
        unit="%",
        uncertainty=None if charge is None else _uncertainty_percent(charge, drift, percent_of_reading, rated_ah),
        limit=choose_limit(limits=(*limits, HYBRID_LIMIT) if vehicle == "hybrid" else limits),
        concerns=(*own, *concerns),
        bound=bound,
    )
    estimate = {"uncertainty_unknown": "measure_capacity_on_bench"} if method == "module_estimate" else {}
    return assess_with_steps(findings=[finding], step_for_reason=STEP_FOR_REASON | estimate)


def _integral(times_s: checks.Row, values: checks.Row, name: str) -> float:
    """Return the trapezoid over times; the checks of each sample run only where the sum or a step tells of trouble.

    A sample that isn't finite spoils the sum, so that clean rows, of a million samples too, need no look at each.
    """
    times, readings = _plain_row("times_s", times_s), _plain_row(name, values)
    checks.same_length(first_name="times_s", first=times, second_name=name, second=readings)
    with np.errstate(over="ignore", invalid="ignore"):
        steps = times[1:] - times[:-1]
        areas = readings[1:] + readings[:-1]
        areas *= steps  # in place, and no dot product: its threads cost more than they give on a busy machine
        integral = float(areas.sum()) / 2.0
    if len(steps) == 0 or not steps.min() >= 0.0 or not math.isfinite(integral):
        checks.times_row(name="times_s", values=times, at_least=1)
        checks.row(name=name, values=readings)
    return checks.carried(name=f"integral of {name}", value=integral)


def _power(volts: NDArray[np.float64], currents: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return volts times amperes; what a float can't carry is refused where it is summed."""
    with np.errstate(over="ignore"):
        return volts * currents


def _plain_row(name: str, values: checks.Row) -> NDArray[np.float64]:
    """Return a row as it is if it is an array of floats, else as ``checks.row`` makes it."""
    if isinstance(values, np.ndarray) and values.ndim == 1 and values.dtype == np.float64:
        return np.asarray(values, dtype=np.float64)
    return checks.row(name=name, values=values)


def _cut_off_position(volts: NDArray[np.float64], cut_off_v: float | None) -> int | None:
    """Return the position of the first sample at or below the cut-off, or None where there is none."""
    if cut_off_v is None:
        return None
    below = np.flatnonzero(volts <= checks.number(name="cut_off_v", value=cut_off_v))
    return int(below[0]) if len(below) > 0 else None


def _corrected(
    log: MeasurementLog, cut_off_v: float | None, zero_before_a: float | None, zero_after_a: float | None
) -> tuple[float, float, list[str]]:
    """Return the charge without the clamp's mean offset, what its drift may have added, and the concerns."""
    counted = capacity_from_log(log=log, cut_off_v=cut_off_v)
    hours = counted.duration_s / SECONDS_PER_HOUR
    own = ["log_has_gaps"] if len(log.gaps) > 0 else []
    if zero_before_a is None or zero_after_a is None:
        return counted.charge_ah, 0.0, ["missing_clamp_zero", *own]
    before = checks.number(name="zero_before_a", value=zero_before_a)
    after = checks.number(name="zero_after_a", value=zero_after_a)
    return counted.charge_ah - (before + after) / 2.0 * hours, abs(after - before) / 2.0 * hours, own


def _uncertainty_percent(
    charge: float, drift: float, percent_of_reading: float | None, rated_ah: float
) -> float | None:
    """Return U in percent of the rated capacity from the clamp's gain and drift."""
    if percent_of_reading is None:
        return None
    gain = charge * checks.not_negative(name="percent_of_reading", value=percent_of_reading) / 100.0
    return 100.0 * propagate(contributions=[gain, drift]) / rated_ah
