"""What is seen rather than measured: signs that are there or not, judged like any other reading.

``Assessment.next_steps`` begins with the one next thing to do. Where a subject's own reason says what that is,
``assess_with_steps`` puts it in the place of the general "clear_concern".
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from diagnostics.calculations.verdicts import COMMON_PRACTICE, Assessment, Finding, Limit, Verdict, assess, judge

# A sign is there or it isn't: half a sign parts none from one, and no instrument reaches across it.
NO_SIGN = Limit(kind="maximum", value=0.5, unit="signs", source=COMMON_PRACTICE, authority="common practice")


def observe(*, quantity: str, signs: Sequence[str] | None, concerns: Sequence[str] = ()) -> Finding:
    """Return the verdict on something that was looked at: within where no bad sign was found, outside with any.

    Formula: the number of signs is judged against a maximum of half a sign.

    Parameters:
        quantity [-], text: code of what was looked at, in snake_case.
        signs [-], row of texts or None: codes of the bad signs, empty where none was found; None where nobody looked.
        concerns [-], row of texts: reason codes, as in ``judge``.
    Returns:
        [-] the finding; where signs were found, its reason is the first of them and its explanation names them all.
    Valid range: any codes; ``ValueError`` for a single text in place of the row, and for an empty code.
    Example:
        >>> observe(quantity="coolant_contamination", signs=["water"]).reason
        'water'
        >>> observe(quantity="coolant_contamination", signs=[]).verdict.value
        'within'

    Source: common practice, no source.
    """
    if signs is not None and (isinstance(signs, str) or not all(isinstance(sign, str) and sign for sign in signs)):
        raise ValueError(f"The argument signs must be a row of codes, but it is {signs!r}.")
    finding = judge(
        quantity=quantity,
        value=None if signs is None else float(len(signs)),
        unit="signs",
        uncertainty=0.0,
        limit=NO_SIGN,
        concerns=concerns,
    )
    if signs is None or finding.verdict is not Verdict.OUTSIDE:
        return finding
    words = ", ".join(signs).replace("_", " ")
    return replace(finding, reason=signs[0], explanation=f"The {quantity.replace('_', ' ')} shows: {words}.")


def assess_with_steps(
    *, findings: Sequence[Finding], step_for_reason: Mapping[str, str], next_steps: Sequence[str] = ()
) -> Assessment:
    """Return the assessment over several findings, where a subject's own reasons have steps of their own.

    Formula: as ``assess``; the step of a reason that the mapping knows comes before all others but those that begin
    with stop, and "clear_concern" goes where only such reasons called for it.

    Parameters:
        findings [-], row of Finding: may be empty.
        step_for_reason [-], mapping of reason to step: for findings that are not within.
        next_steps [-], row of texts: further steps, last.
    Returns:
        [-] the assessment.
    Valid range: as ``assess``.
    Example:
        >>> felt = observe(quantity="flow", signs=[], concerns=["pump_only_heard"])
        >>> assess_with_steps(findings=[felt], step_for_reason={"pump_only_heard": "measure_flow"}).next_steps
        ('measure_flow',)

    Source: the project's own rule.
    """
    assessment = assess(findings=findings, next_steps=next_steps)
    open_findings = [finding for finding in findings if finding.verdict is not Verdict.WITHIN]
    own = [step_for_reason[finding.reason] for finding in open_findings if finding.reason in step_for_reason]
    rest = [finding for finding in findings if finding.reason not in step_for_reason]
    needed = assess(findings=rest, next_steps=next_steps).next_steps if rest or not findings else tuple(next_steps)
    ordered = sorted(dict.fromkeys([*own, *needed]), key=lambda step: not step.startswith("stop"))
    return replace(assessment, next_steps=tuple(ordered))
