"""What was typed is no reading of the kind (rows of two lengths, times that run back): not enough data, and why."""

from __future__ import annotations

from diagnostics.calculations.observations import assess_with_steps
from diagnostics.calculations.verdicts import NEXT_STEP_FOR_REASON, Assessment, judge
from diagnostics.kind import Reading


def unjudged(reading: Reading, *, quantity: str, unit: str, problem: str) -> Assessment:
    """One finding without a figure; `problem` is a reason code that begins with "missing"."""
    finding = judge(
        quantity=quantity,
        value=None,
        unit=unit,
        uncertainty=None,
        limit=None,
        concerns=(problem, *reading.concerns),
    )
    # Some problems have a step already; rows that don't fit have to be looked at.
    return assess_with_steps(
        findings=[finding],
        step_for_reason={} if problem in NEXT_STEP_FOR_REASON else {problem: "look_at_what_was_typed"},
    )
