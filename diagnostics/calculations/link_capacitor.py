"""Discharge of the link capacitor: energies, and a logged discharge compared afterwards with what it should be.

Nothing here tells how long to wait: that is the maker's to say.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from diagnostics.calculations import checks
from diagnostics.calculations.verdicts import (
    Assessment,
    Finding,
    Limit,
    assess,
    choose_limit,
    instrument_uncertainty,
    judge,
)

LOW_V = 60.0  # upper end of what is not high voltage, DC: FMVSS 305 final-rule text, as quoted


@dataclass(frozen=True, kw_only=True)
class TimeConstant:
    """The time constant of a logged discharge.

    Fields:
        time_constant_s [s], scalar: of the fitted exponential.
        uncertainty_s [s], scalar: U with k = 2, from the scatter of the readings; 0.0 with two samples.
        start_v [V], scalar: the fitted voltage at the first sample.
    Valid range: made by ``time_constant_from_log``.
    Example:
        >>> round(time_constant_from_log(times_s=[0, 1, 2], volts=[100.0, 50.0, 25.0]).start_v, 6)
        100.0

    Source: the project's own rule.
    """

    time_constant_s: float
    uncertainty_s: float
    start_v: float


def time_to_voltage_s(*, start_v: float, end_v: float, resistance_ohm: float, capacitance_f: float) -> float:
    """Return how long a capacitor takes through a resistor from one voltage to another, to compare with a log.

    Formula: t = R C ln(V0 / V).

    Parameters:
        start_v [V], scalar: voltage at the start.
        end_v [V], scalar: voltage at the end.
        resistance_ohm [ohm], scalar: the discharge resistor.
        capacitance_f [F], scalar: the capacitance.
    Returns:
        [s] the time.
    Valid range: all above zero and the end not above the start; ``ValueError`` for anything else.
    Example:
        >>> round(time_to_voltage_s(start_v=1500, end_v=320, resistance_ohm=50, capacitance_f=195e-6), 9)
        0.015062769

    Source: TT electronics / Welwyn, Design Tool 4.
    """
    start = checks.positive(name="start_v", value=start_v)
    end = checks.positive(name="end_v", value=end_v)
    if end > start:
        raise ValueError(f"The argument end_v must not lie above the start of {start!r} V, but it is {end_v!r}.")
    time_constant = _time_constant(resistance_ohm, capacitance_f)
    return checks.carried(name="time", value=time_constant * (math.log(start) - math.log(end)))


def voltage_after_v(*, start_v: float, elapsed_s: float, resistance_ohm: float, capacitance_f: float) -> float:
    """Return the voltage that is left on a capacitor after a time, to compare with a log.

    Formula: V = V0 exp(-t / (R C)).

    Parameters:
        start_v [V], scalar: voltage at the start.
        elapsed_s [s], scalar: time since then.
        resistance_ohm [ohm], scalar: the discharge resistor.
        capacitance_f [F], scalar: the capacitance.
    Returns:
        [V] the voltage.
    Valid range: voltage and time from zero up, the others above zero; ``ValueError`` for anything else.
    Example:
        >>> round(voltage_after_v(start_v=600, elapsed_s=300, resistance_ohm=150e3, capacitance_f=300e-6), 3)
        0.764

    Source: AMK motion, automotive inverter discharge example.
    """
    start = checks.not_negative(name="start_v", value=start_v)
    elapsed = checks.not_negative(name="elapsed_s", value=elapsed_s)
    return start * math.exp(-elapsed / _time_constant(resistance_ohm, capacitance_f))


def stored_energy_j(*, capacitance_f: float, voltage_v: float) -> float:
    """Return the energy in a charged capacitor.

    Formula: E = C V^2 / 2.

    Parameters:
        capacitance_f [F], scalar: the capacitance.
        voltage_v [V], scalar: the voltage, of either sign.
    Returns:
        [J] the energy.
    Valid range: capacitance above zero; ``ValueError`` for anything else.
    Example:
        >>> round(stored_energy_j(capacitance_f=195e-6, voltage_v=1500), 6)
        219.375

    Source: TT electronics / Welwyn, Design Tool 4.
    """
    capacitance = checks.positive(name="capacitance_f", value=capacitance_f)
    volts = checks.number(name="voltage_v", value=voltage_v)
    return checks.carried(name="energy", value=0.5 * capacitance * volts * volts)


def energy_above_60_v_j(*, capacitance_f: float, voltage_v: float) -> float:
    """Return the energy that a charged capacitor gives until it is down at 60 V.

    Formula: TE = C (V^2 - 60^2) / 2, and 0.0 up to 60 V.

    Parameters:
        capacitance_f [F], scalar: the capacitance.
        voltage_v [V], scalar: the voltage, of either sign.
    Returns:
        [J] the energy.
    Valid range: capacitance above zero; ``ValueError`` for anything else.
    Example:
        >>> round(energy_above_60_v_j(capacitance_f=1e-6, voltage_v=400), 4)
        0.0782

    Source: UN GTR 13 / UN R94 Annex 11 / FMVSS 305, from memory.
    """
    capacitance = checks.positive(name="capacitance_f", value=capacitance_f)
    volts = abs(checks.number(name="voltage_v", value=voltage_v))
    if volts <= LOW_V:
        return 0.0
    return checks.carried(name="energy", value=0.5 * capacitance * (volts * volts - LOW_V * LOW_V))


def time_constant_from_log(*, times_s: checks.Row, volts: checks.Row) -> TimeConstant:
    """Return the time constant of a logged discharge, with its uncertainty.

    Formula: least squares of V0 exp(-t / tau), without offset, on the volts themselves (Gauss-Newton in V0 and the
    rate 1 / tau, started from the logarithms); U = 2 s(tau) from the residuals' variance with n - 2 degrees of freedom.

    Parameters:
        times_s [s], row: times of the samples, rising.
        volts [V], row: voltages at those times.
    Returns:
        [-] the time constant, its uncertainty and the fitted voltage at the first sample.
    Valid range: two or more samples, at least two of them above zero, and a voltage that falls; ``ValueError`` for
        anything else.
    Example:
        >>> fitted = time_constant_from_log(times_s=[0, 1, 2, 3], volts=[400.0, 200.0, 100.0, 50.0])
        >>> round(fitted.time_constant_s, 6)
        1.442695

    Source: least squares, Gauss-Newton; Bevington and Robinson, Data Reduction, ch. 8, from memory.
    """
    times = checks.times_row(name="times_s", values=times_s, at_least=2)
    readings = checks.row(name="volts", values=volts, at_least=2)
    checks.same_length(first_name="times_s", first=times, second_name="volts", second=readings)
    elapsed = times - times[0]
    above = readings > 0.0
    if int(above.sum()) < 2 or float(elapsed[above][-1]) <= float(elapsed[above][0]):
        raise ValueError("The argument volts must hold two voltages above zero at different times, but it does not.")
    slope, height = np.polyfit(elapsed[above], np.log(readings[above]), 1, w=readings[above])
    rate, start = -float(slope), float(math.exp(min(float(height), 700.0)))
    for _round in range(60):
        shape = np.exp(np.clip(-rate * elapsed, -700.0, 700.0))
        jacobian = np.column_stack([shape, -start * elapsed * shape])
        step, *_rest = np.linalg.lstsq(jacobian, readings - start * shape, rcond=None)
        start, rate = start + float(step[0]), rate + float(step[1])
        if abs(float(step[1])) <= 1e-13 * abs(rate) and abs(float(step[0])) <= 1e-13 * abs(start):
            break
    # A rate whose fall over the whole log is lost in rounding is no discharge.
    falls = rate * float(elapsed[-1]) > 1e-9
    if not (math.isfinite(rate) and math.isfinite(start)) or not falls or start <= 0.0:
        raise ValueError("The argument volts must fall over time like a discharge, but it does not.")
    return TimeConstant(
        time_constant_s=1.0 / rate, uncertainty_s=_spread_s(elapsed, readings, start, rate), start_v=start
    )


def assess_discharge(
    *,
    times_s: checks.Row,
    volts: checks.Row,
    percent_of_reading: float | None,
    counts: float | None,
    resolution_v: float | None,
    limits: Sequence[Limit] = (),
    capacitance_f: float | None = None,
    energy_limits: Sequence[Limit] = (),
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return what a logged discharge says: the time it took to 60 V, against the limit of the maker or a standard.

    Formula: the time between the first sample and the first at or below 60 V, found by a straight line between
    samples; U = the step in which it fell, or the meter's uncertainty at 60 V divided by the slope there, whichever is
    larger. A log that never comes down to 60 V gives "at least" its whole length.

    Parameters:
        times_s [s], row: times of the samples, rising; the first is the moment at which discharging began.
        volts [V], row: voltages at those times.
        percent_of_reading [%], scalar or None: accuracy of the meter or logger; None where it isn't known.
        counts [-], scalar or None: likewise.
        resolution_v [V], scalar or None: likewise.
        limits [s], row of Limit: maximum; the strictest counts.
        capacitance_f [F], scalar or None: the link capacitance, for the energy that the last sample leaves above 60 V.
        energy_limits [J], row of Limit: maximum of that energy; without one it isn't judged. The 0.2 J of UN GTR 13 is
            known here from memory only, so it is for the operator to enter.
        concerns [-], row of texts: reason codes that the record adds.
    Returns:
        [-] the finding time_to_60_v [s], and energy_left [J] where it has a limit; the next step
        keep_the_makers_wait always.
    Valid range: two or more samples, the first above 60 V; ``ValueError`` for anything else.
    Example:
        >>> limit = Limit(kind="maximum", value=5, unit="s", source="maker's sheet", authority="maker")
        >>> assess_discharge(times_s=[0, 1, 2, 3], volts=[400, 160, 64, 26], percent_of_reading=0.1, counts=3,
        ...                  resolution_v=0.1, limits=[limit]).verdict.value
        'within'

    Source: 60 V: FMVSS 305 final-rule text, as quoted.
    """
    times = checks.times_row(name="times_s", values=times_s, at_least=2)
    readings = checks.row(name="volts", values=volts, at_least=2)
    checks.same_length(first_name="times_s", first=times, second_name="volts", second=readings)
    if float(readings[0]) <= LOW_V:
        raise ValueError(f"The argument volts must begin above 60 V, but it begins at {float(readings[0])!r}.")
    low = np.flatnonzero(readings <= LOW_V)
    known = percent_of_reading is not None and counts is not None and resolution_v is not None
    if len(low) == 0:
        value, spread, bound = float(times[-1] - times[0]), 0.0, "at_least"
    else:
        value, spread, bound = *_crossing(times, readings, int(low[0]), percent_of_reading, counts, resolution_v), None
    findings = [
        judge(
            quantity="time_to_60_v",
            value=value,
            unit="s",
            uncertainty=spread if known else None,
            limit=choose_limit(limits=limits, strictest=True),
            concerns=tuple(concerns),
            bound=bound,
        )
    ]
    if capacitance_f is not None and len(energy_limits) > 0:
        accuracy = (percent_of_reading, counts, resolution_v)
        findings.append(_energy_left(float(readings[-1]), capacitance_f, accuracy, energy_limits, concerns))
    return assess(findings=findings, next_steps=("keep_the_makers_wait",))


def _crossing(
    times: np.ndarray,
    readings: np.ndarray,
    at: int,
    percent_of_reading: float | None,
    counts: float | None,
    resolution_v: float | None,
) -> tuple[float, float]:
    """Return when the log crosses 60 V, and how uncertain that is."""
    step_s, fall = float(times[at] - times[at - 1]), float(readings[at - 1] - readings[at])
    crossed = float(times[at - 1]) + step_s * (float(readings[at - 1]) - LOW_V) / fall
    meter = 0.0
    if percent_of_reading is not None and counts is not None and resolution_v is not None:
        meter = instrument_uncertainty(
            reading=LOW_V, percent_of_reading=percent_of_reading, counts=counts, resolution=resolution_v
        )
    return crossed - float(times[0]), max(step_s, meter * step_s / fall)


def _energy_left(
    end_v: float,
    capacitance_f: float,
    accuracy: tuple[float | None, float | None, float | None],
    limits: Sequence[Limit],
    concerns: Sequence[str],
) -> Finding:
    """Return the finding on what the last sample leaves in the capacitor above 60 V."""
    energy = energy_above_60_v_j(capacitance_f=capacitance_f, voltage_v=end_v)
    percent_of_reading, counts, resolution_v = accuracy
    uncertainty = None
    if percent_of_reading is not None and counts is not None and resolution_v is not None:
        spread = instrument_uncertainty(
            reading=end_v, percent_of_reading=percent_of_reading, counts=counts, resolution=resolution_v
        )
        highest = energy_above_60_v_j(capacitance_f=capacitance_f, voltage_v=abs(end_v) + spread)
        uncertainty = highest - energy
    return judge(
        quantity="energy_left",
        value=energy,
        unit="J",
        uncertainty=uncertainty,
        limit=choose_limit(limits=limits, strictest=True),
        concerns=tuple(concerns),
    )


def _spread_s(elapsed: np.ndarray, readings: np.ndarray, start: float, rate: float) -> float:
    """Return U of the time constant from the scatter of the readings round the fitted curve."""
    if len(elapsed) < 3:
        return 0.0
    shape = np.exp(-rate * elapsed)
    jacobian = np.column_stack([shape, -start * elapsed * shape])
    residuals = readings - start * shape
    variance = float(residuals @ residuals) / (len(elapsed) - 2)
    covariance = np.linalg.pinv(jacobian.T @ jacobian) * variance
    return 2.0 * math.sqrt(max(float(covariance[1, 1]), 0.0)) / rate**2


def _time_constant(resistance_ohm: float, capacitance_f: float) -> float:
    """Return R C."""
    resistance = checks.positive(name="resistance_ohm", value=resistance_ohm)
    return resistance * checks.positive(name="capacitance_f", value=capacitance_f)
