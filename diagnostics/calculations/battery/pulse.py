"""The resistance that a current pulse shows."""

import math
from collections.abc import Sequence

from diagnostics.calculations import checks
from diagnostics.calculations.verdicts import Assessment, Finding, Limit, assess, choose_limit, judge, propagate


def pulse_resistance_ohm(*, before_v: float, after_v: float, before_a: float, after_a: float) -> float:
    """Return the resistance of a battery or block from a step of its current.

    Formula: R = (before_v - after_v) / (after_a - before_a), discharge current positive. The change of the open-circuit
    voltage during the pulse is not taken off, so that long pulses read too high.

    Parameters:
        before_v [V], scalar: voltage right before the step.
        after_v [V], scalar: voltage at the end of the pulse.
        before_a [A], scalar: current right before the step.
        after_a [A], scalar: current at the end of the pulse.
    Returns:
        [ohm] the resistance.
    Valid range: a step of the current of either sign. ``ValueError`` where the current didn't change, where the voltage
        rose with the discharge current (readings exchanged, or a sign), and for what is no finite number.
    Example:
        >>> round(pulse_resistance_ohm(before_v=3.750874, after_v=3.606009, before_a=0.0, after_a=5.0), 5)
        0.02897

    Source: DOE/ID-11069 FreedomCAR manual (2003), from memory; its bias: arXiv 2505.06410; reference value 5.2.
    """
    start, end = checks.number(name="before_v", value=before_v), checks.number(name="after_v", value=after_v)
    first, last = checks.number(name="before_a", value=before_a), checks.number(name="after_a", value=after_a)
    if last == first:
        raise ValueError(f"The argument after_a must differ from before_a, but both are {after_a!r}.")
    resistance = (start - end) / (last - first)
    if resistance < 0.0:
        raise ValueError(
            f"The argument after_v must fall where the discharge current rises, but from {before_v!r} V at "
            f"{before_a!r} A it went to {after_v!r} V at {after_a!r} A."
        )
    return checks.carried(name="pulse_resistance_ohm", value=resistance) + 0.0


def assess_pulse_resistance(
    *,
    before_v: float,
    after_v: float,
    before_a: float,
    after_a: float,
    uncertainty_v: float | None = None,
    uncertainty_a: float | None = None,
    limits: Sequence[Limit] = (),
    median_block_ohm: float | None = None,
    ratio_limits: Sequence[Limit] = (),
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return whether the pulse resistance of a battery or block is low enough.

    Formula: R as in ``pulse_resistance_ohm``; U(R) = sqrt(2 U(V)^2 + 2 (R U(I))^2) / abs(after_a - before_a);
    ratio = R / median, with the same relative uncertainty.

    Parameters:
        before_v [V], scalar: voltage right before the step.
        after_v [V], scalar: voltage at the end of the pulse.
        before_a [A], scalar: current right before the step, discharge positive.
        after_a [A], scalar: current at the end of the pulse.
        uncertainty_v [V], scalar or None: U (k = 2) of each voltage; None where it isn't known.
        uncertainty_a [A], scalar or None: U (k = 2) of each current.
        limits [ohm], row of Limit: of the resistance, for a pulse of this length, charge and temperature.
        median_block_ohm [ohm], scalar or None: median of all blocks of the same battery.
        ratio_limits [-], row of Limit with unit "ratio": of the resistance against that median.
        concerns [-], row of texts: reason codes that the record adds.
    Returns:
        [-] an assessment with the finding pulse_resistance, and with a median also ratio_to_median_block.
    Valid range: as in ``pulse_resistance_ohm``, the median above zero. ``ValueError`` for anything else.
    Example:
        >>> maker = Limit(kind="maximum", value=0.045, unit="ohm", source="maker's sheet", authority="maker")
        >>> assess_pulse_resistance(before_v=14.4, after_v=14.0, before_a=0, after_a=20, uncertainty_v=0.01,
        ...                         uncertainty_a=0.2, limits=[maker]).verdict.value
        'within'

    Source: JCGM 100:2008 (GUM), 5.1.2, from memory, for the uncertainty; else as ``pulse_resistance_ohm``.
    """
    resistance = pulse_resistance_ohm(before_v=before_v, after_v=after_v, before_a=before_a, after_a=after_a)
    uncertainty = None
    if uncertainty_v is not None and uncertainty_a is not None:
        volt = checks.not_negative(name="uncertainty_v", value=uncertainty_v)
        ampere = checks.not_negative(name="uncertainty_a", value=uncertainty_a) * resistance
        uncertainty = propagate(contributions=[volt, volt, ampere, ampere]) / math.fabs(after_a - before_a)
    findings = [
        judge(
            quantity="pulse_resistance",
            value=resistance,
            unit="ohm",
            uncertainty=uncertainty,
            limit=choose_limit(limits=limits),
            concerns=concerns,
        )
    ]
    if median_block_ohm is not None:
        findings.append(_ratio(resistance, uncertainty, median_block_ohm, ratio_limits, concerns))
    return assess(findings=findings)


def _ratio(
    resistance: float,
    uncertainty: float | None,
    median_block_ohm: float,
    limits: Sequence[Limit],
    concerns: Sequence[str],
) -> Finding:
    """Return the finding on the resistance against the median block of the same battery."""
    median = checks.positive(name="median_block_ohm", value=median_block_ohm)
    return judge(
        quantity="ratio_to_median_block",
        value=resistance / median,
        unit="ratio",
        uncertainty=None if uncertainty is None else uncertainty / median,
        limit=choose_limit(limits=limits),
        concerns=concerns,
    )
