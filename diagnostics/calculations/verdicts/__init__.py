"""Limits, the choice between them, the uncertainty of a reading, and the verdict that follows from all three."""

from diagnostics.calculations.verdicts.judging import BOUNDS, Assessment, Finding, Verdict, assess, judge
from diagnostics.calculations.verdicts.limits import AUTHORITIES, COMMON_PRACTICE, KINDS, Limit, choose_limit
from diagnostics.calculations.verdicts.reasons import NEXT_STEP_FOR_REASON
from diagnostics.calculations.verdicts.uncertainty import instrument_uncertainty, propagate, reading_uncertainty

__all__ = [
    "AUTHORITIES",
    "BOUNDS",
    "COMMON_PRACTICE",
    "KINDS",
    "NEXT_STEP_FOR_REASON",
    "Assessment",
    "Finding",
    "Limit",
    "Verdict",
    "assess",
    "choose_limit",
    "instrument_uncertainty",
    "judge",
    "propagate",
    "reading_uncertainty",
]
