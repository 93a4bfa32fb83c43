"""Proof of absence of voltage: three voltages at named points, with a meter proved before and after."""

from collections.abc import Sequence

from diagnostics.calculations import checks
from diagnostics.calculations.verdicts import COMMON_PRACTICE, Assessment, Limit, assess, judge

# Above this nobody goes on: UN R100 and FMVSS 305 call more than 60 V DC high voltage.
HIGH_VOLTAGE_V = 60.0
# Common practice, no source: a few volts may be induced or left in a filter; more has to be explained.
UNEXPLAINED = Limit(kind="maximum", value=5.0, unit="V", source=COMMON_PRACTICE, authority="common practice")
POINTS = ("positive_to_negative", "positive_to_body", "negative_to_body")


def assess_absence_of_voltage(
    *,
    positive_to_negative_v: float | None,
    positive_to_body_v: float | None,
    negative_to_body_v: float | None,
    uncertainties_v: Sequence[float | None],
    meter_proved_before: bool,
    meter_proved_after: bool,
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return whether three voltages prove that nothing but a remainder is left at the measuring points.

    Formula: each magnitude is judged against at most 5 V; any above 60 V, uncertainty added, says stop.

    Parameters:
        positive_to_negative_v [V], scalar or None: reading between the poles; None where it was not taken.
        positive_to_body_v [V], scalar or None: reading from the positive pole to the body.
        negative_to_body_v [V], scalar or None: reading from the negative pole to the body.
        uncertainties_v [V], row of three scalars or None: U with k = 2 of each, in the order above.
        meter_proved_before [-], truth value: the meter showed a known source right before.
        meter_proved_after [-], truth value: and right after.
        concerns [-], row of texts: reason codes that the record adds.
    Returns:
        [-] an assessment with one finding for each pair of points; next steps: stop_above_60_v where a voltage may lie
            above 60 V, hold_and_explain where one lies outside.
    Valid range: finite voltages of either sign; ``ValueError`` for anything else, and for a row of uncertainties that
        has not three places.
    Example:
        >>> assess_absence_of_voltage(
        ...     positive_to_negative_v=0.3, positive_to_body_v=0.1, negative_to_body_v=0.2,
        ...     uncertainties_v=[0.03, 0.03, 0.03], meter_proved_before=True, meter_proved_after=True,
        ... ).verdict.value
        'within'

    Source: EN 50110-1, step three of the five (DEHN, five safety rules, read); meter proved before and after: NFPA 70E
        120.5, from memory; 5 V: common practice, no source; 60 V DC: FMVSS 305 final-rule text, as quoted.
    """
    if len(uncertainties_v) != len(POINTS):
        raise ValueError(f"The argument uncertainties_v must have 3 places, but it has {len(uncertainties_v)}.")
    unproved = [
        code
        for code, proved in (
            ("missing_meter_proof_before", meter_proved_before),
            ("missing_meter_proof_after", meter_proved_after),
        )
        if not proved
    ]
    readings = (positive_to_negative_v, positive_to_body_v, negative_to_body_v)
    findings = [
        judge(
            quantity=f"voltage_{points}",
            value=None if reading is None else abs(checks.number(name=f"{points}_v", value=reading)),
            unit="V",
            uncertainty=uncertainty,
            limit=UNEXPLAINED,
            concerns=(*unproved, *concerns),
        )
        for points, reading, uncertainty in zip(POINTS, readings, uncertainties_v, strict=True)
    ]
    highest = max((f.value + (f.uncertainty or 0.0) for f in findings if f.value is not None), default=0.0)
    steps = []
    if highest > HIGH_VOLTAGE_V:
        steps.append("stop_above_60_v")
    if highest > UNEXPLAINED.value:
        steps.append("hold_and_explain")
    return assess(findings=findings, next_steps=steps)
