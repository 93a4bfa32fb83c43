"""Power stage: the diode check of its switches, and what a switch and its diode lose as heat.

Codes that ``assess_diode_check`` adds to those of ``verdicts``:

=============================  ===========================================================================
reason                         meaning
=============================  ===========================================================================
shorted                        under 0.1 V in either direction (outside)
conducts_in_reverse            a figure where the diode has to block (outside)
open_forward                   open both ways: outside on silicon; proves nothing on silicon carbide
missing_direction              one of the two directions was not read
differs_from_other_switches    more than 10 % from the median of the forward readings
next step                      meaning
gates_not_proved               a diode check says nothing about the gates
=============================  ===========================================================================
"""

import math
import statistics
from collections.abc import Mapping, Sequence
from dataclasses import replace

from diagnostics.calculations import checks
from diagnostics.calculations.verdicts import (
    COMMON_PRACTICE,
    Assessment,
    Finding,
    Limit,
    Verdict,
    assess,
    instrument_uncertainty,
    judge,
)

SIDES = ("upper", "lower")
DIRECTIONS = ("forward", "reverse")
PARTS = ("switch", "diode")
SHORT_V = 0.1  # V; common practice, no source
ALIKE_PERCENT = 10.0  # % from the median of the forward readings; common practice, no source
FORWARD_LIMITS = {
    "silicon": Limit(
        kind="range", value=0.30, upper=0.60, unit="V", source=COMMON_PRACTICE, authority="common practice"
    ),
    "silicon_carbide": Limit(
        kind="range", value=1.0, upper=2.7, unit="V", source=COMMON_PRACTICE, authority="common practice"
    ),
}

Key = tuple[str, str, str]


def assess_diode_check(
    *,
    readings: Mapping[Key, float | None],
    technology: str = "silicon",
    stage: str = "",
    phases: Sequence[str] = ("U", "V", "W"),
    percent_of_reading: float = 0.0,
    counts: float = 0.0,
    resolution_v: float = 0.0,
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return what the diode check of a stage says, one finding for each switch.

    Formula: outside where either direction is under 0.1 V, where reverse shows any figure, where silicon is open
    forward, or where forward lies outside the range of its technology; unproven where a direction was not read, where
    silicon carbide is open forward, or where a reading is more than 10 % from the median of the forward readings.

    Parameters:
        readings [V], mapping: {(phase, "upper" or "lower", "forward" or "reverse"): volts, or None for open}; a key
            that is not there is a reading that was not taken.
        technology [-], text: silicon or silicon_carbide.
        stage [-], text: name of the stage, for the explanations.
        phases [-], row of texts: the phases of the stage; a boost stage has one.
        percent_of_reading [%], scalar: the "% of reading" of the meter's diode range.
        counts [-], scalar: its "+ digits".
        resolution_v [V], scalar: what its last digit is worth.
        concerns [-], row of texts: reason codes given by the caller; with any, nothing is proved either way.
    Returns:
        [V] findings diode_<phase>_<side>, each with the forward reading; the next step gates_not_proved always.
    Valid range: readings from zero up, keys of the stage only, one phase or more. ``ValueError`` for anything else.
    Example:
        >>> good = {("L", side, way): {"forward": 0.45, "reverse": None}[way]
        ...         for side in ("upper", "lower") for way in ("forward", "reverse")}
        >>> assess_diode_check(readings=good, phases=("L",)).verdict.value
        'within'
        >>> assess_diode_check(readings={**good, ("L", "upper", "reverse"): 0.02}, phases=("L",)).findings[0].reason
        'shorted'

    Source: inverter makers' manuals, diode check of six switches (as read for reference section 6); the ranges, 0.1 V
        and 10 %: common practice, no source.
    """
    limit = FORWARD_LIMITS[checks.choice(name="technology", value=technology, allowed=FORWARD_LIMITS)]
    volts = _checked(readings, phases)
    forward = [value for (_, _, way), value in volts.items() if way == "forward" and value is not None]
    median = statistics.median(forward) if len(forward) > 0 else math.nan
    findings = []
    for phase in phases:
        for side in SIDES:
            value = volts.get((phase, side, "forward"))
            finding = judge(
                quantity=f"diode_{phase.lower()}_{side}",
                value=value,
                unit="V",
                uncertainty=instrument_uncertainty(
                    reading=value or 0.0,
                    percent_of_reading=percent_of_reading,
                    counts=counts,
                    resolution=resolution_v,
                ),
                limit=limit,
                concerns=concerns,
            )
            fault = None if len(finding.concerns) > 0 else _fault(volts, phase, side, technology, finding, median)
            findings.append(finding if fault is None else _as_fault(finding, fault, volts, (phase, side), stage))
    return assess(findings=findings, next_steps=("gates_not_proved",))


def conduction_loss_w(
    *, threshold_v: float, slope_ohm: float, peak_a: float, modulation: float, power_factor: float, part: str
) -> float:
    """Return the mean conduction loss of one switch or one diode of a bridge with sinusoidal modulation.

    Formula: switch: V0 Ip (1/(2 pi) + m c/8) + r Ip^2 (1/8 + m c/(3 pi)); diode: the same with minus signs.

    Parameters:
        threshold_v [V], scalar: V0, where the straight line of the characteristic begins.
        slope_ohm [ohm], scalar: r, its slope.
        peak_a [A], scalar: Ip, peak of the phase current.
        modulation [-], scalar: m, modulation index.
        power_factor [-], scalar: c, cosine of the angle between voltage and current; negative when braking.
        part [-], text: switch or diode.
    Returns:
        [W] the loss, mean over a period.
    Valid range: threshold, slope and current from zero up, modulation 0 to 1, power factor -1 to 1. ``ValueError``
        for anything else.
    Example:
        >>> round(conduction_loss_w(threshold_v=1.0, slope_ohm=0.005, peak_a=100.0, modulation=0.8, power_factor=0.9,
        ...                         part="switch"), 3)
        34.985

    Source: Hitachi IGBT Module Application Manual, equations 19 to 22 (m = 1); general m from memory; example 6.3.
    """
    v0 = checks.not_negative(name="threshold_v", value=threshold_v)
    r = checks.not_negative(name="slope_ohm", value=slope_ohm)
    ip = checks.not_negative(name="peak_a", value=peak_a)
    m = checks.between(name="modulation", value=modulation, lowest=0.0, highest=1.0)
    c = checks.between(name="power_factor", value=power_factor, lowest=-1.0, highest=1.0)
    sign = 1.0 if checks.choice(name="part", value=part, allowed=PARTS) == "switch" else -1.0
    level = v0 * ip * (1.0 / (2.0 * math.pi) + sign * m * c / 8.0)
    return checks.carried(name="loss_w", value=level + r * ip * ip * (0.125 + sign * m * c / (3.0 * math.pi)))


def switching_loss_w(
    *, frequency_hz: float, energy_j: float, peak_a: float, reference_a: float, voltage_v: float, reference_v: float
) -> float:
    """Return the mean switching loss of one switch (or recovery loss of one diode) with sinusoidal current.

    Formula: P = (f / pi) E (Ip / Iref)(V / Vref).

    Parameters:
        frequency_hz [Hz], scalar: switching frequency.
        energy_j [J], scalar: Eon + Eoff at the reference point; for a diode Erec.
        peak_a [A], scalar: peak of the phase current.
        reference_a [A], scalar: current of the reference point.
        voltage_v [V], scalar: link voltage.
        reference_v [V], scalar: voltage of the reference point.
    Returns:
        [W] the loss, mean over a period.
    Valid range: the two references above zero, the others from zero up. ``ValueError`` for anything else.
    Example:
        >>> round(switching_loss_w(frequency_hz=10e3, energy_j=0.01, peak_a=100, reference_a=100, voltage_v=300,
        ...                        reference_v=600), 3)
        15.915

    Source: Hitachi IGBT Module Application Manual, equations 19 to 22; the figure is reference example 6.4.
    """
    rate = checks.not_negative(name="frequency_hz", value=frequency_hz) / math.pi
    energy = checks.not_negative(name="energy_j", value=energy_j)
    current = checks.not_negative(name="peak_a", value=peak_a) / checks.positive(name="reference_a", value=reference_a)
    voltage = checks.not_negative(name="voltage_v", value=voltage_v)
    voltage /= checks.positive(name="reference_v", value=reference_v)
    return checks.carried(name="loss_w", value=rate * energy * current * voltage)


def junction_temperature_c(*, reference_c: float, loss_w: float, resistances_k_per_w: checks.Row) -> float:
    """Return the temperature of a junction above a reference, through thermal resistances in series.

    Formula: Tj = Tref + P x sum(Rth).

    Parameters:
        reference_c [degrees Celsius], scalar: temperature of the case, the sink or the air.
        loss_w [W], scalar: heat that flows.
        resistances_k_per_w [K/W], row of one or more: from the junction to the reference.
    Returns:
        [degrees Celsius] the junction temperature.
    Valid range: loss and resistances from zero up, reference not below absolute zero. ``ValueError`` otherwise.
    Example:
        >>> junction_temperature_c(reference_c=25, loss_w=125, resistances_k_per_w=[0.4, 0.1, 0.5])
        150.0

    Source: Rashid, Power Electronics, 4th edition, example 4.4; reference example 6.1.
    """
    start = checks.celsius(name="reference_c", value=reference_c)
    loss = checks.not_negative(name="loss_w", value=loss_w)
    steps = checks.row(name="resistances_k_per_w", values=resistances_k_per_w, at_least=1).tolist()
    total = math.fsum(checks.not_negative(name="resistances_k_per_w", value=step) for step in steps)
    return checks.carried(name="junction_temperature_c", value=start + loss * total)


def _checked(readings: Mapping[Key, float | None], phases: Sequence[str]) -> dict[Key, float | None]:
    """Return the readings as floats, after refusing keys that the stage doesn't have."""
    if isinstance(phases, str) or len(phases) == 0 or len(set(phases)) != len(phases):
        raise ValueError(f"The argument phases must name each phase of the stage once, but it is {phases!r}.")
    known = {(phase, side, way) for phase in phases for side in SIDES for way in DIRECTIONS}
    for key in readings:
        if key not in known:
            raise ValueError(
                f"The argument readings must hold switches of {tuple(phases)!r} only, but it holds {key!r}."
            )
    return {
        key: None if value is None else checks.not_negative(name="readings", value=value)
        for key, value in readings.items()
    }


def _fault(
    volts: Mapping[Key, float | None], phase: str, side: str, technology: str, finding: Finding, median: float
) -> tuple[str, Verdict] | None:
    """Return why a switch is not what its forward reading alone says, with the verdict; None where it is."""
    ways = [(phase, side, way) for way in DIRECTIONS]
    forward, reverse = (volts.get(key) for key in ways)
    if any(value is not None and value < SHORT_V for value in (forward, reverse)):
        return "shorted", Verdict.OUTSIDE
    if reverse is not None:
        return "conducts_in_reverse", Verdict.OUTSIDE
    if ways[0] in volts and forward is None:
        return "open_forward", Verdict.OUTSIDE if technology == "silicon" else Verdict.UNPROVEN
    if finding.verdict is Verdict.OUTSIDE:
        return None
    if any(key not in volts for key in ways):
        return "missing_direction", Verdict.UNPROVEN
    far = forward is not None and abs(forward - median) > ALIKE_PERCENT / 100.0 * median * (1.0 + 1e-9)
    return ("differs_from_other_switches", Verdict.UNPROVEN) if far else None


def _as_fault(
    finding: Finding,
    fault: tuple[str, Verdict],
    volts: Mapping[Key, float | None],
    switch: tuple[str, str],
    stage: str,
) -> Finding:
    """Return the finding with the fault's verdict, and a sentence that tells both directions."""
    reason, verdict = fault
    told = []
    for way in DIRECTIONS:
        key = (*switch, way)
        value = volts.get(key)
        told.append(f"{way} {'not read' if key not in volts else 'open' if value is None else f'{value:.6g} V'}")
    where = f"In stage {stage}, the" if stage else "The"
    sentence = f"{where} {switch[1]} diode of phase {switch[0]} reads {', '.join(told)}: {reason.replace('_', ' ')}."
    return replace(finding, verdict=verdict, reason=reason, explanation=sentence)
