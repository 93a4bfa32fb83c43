"""Which one measurement tells causes apart best, from cases whose cause is known."""

import math
from collections import Counter
from collections.abc import Mapping, Sequence


def information_gain(*, causes: Sequence[str], findings: Sequence[str]) -> float:
    """Return by how much a finding lessens the doubt about the cause, in bits.

    Formula: entropy of the causes less the entropy that is left within each finding, weighted by how often it is met;
    entropy is the sum of -p log2 p.

    Parameters:
        causes [-], row of texts: the cause of each case.
        findings [-], row of texts: what one measurement found in each case, in the same order.
    Returns:
        [bit] the gain, 0 where the finding tells nothing.
    Valid range: rows of equal length, one case at least; ``ValueError`` for anything else.
    Example:
        >>> information_gain(causes=["fan", "fan", "winding", "winding"], findings=["out", "out", "in", "in"])
        1.0

    Source: J. R. Quinlan, Induction of Decision Trees, Machine Learning 1 (1986), section 4.
    """
    if len(causes) == 0 or len(causes) != len(findings):
        raise ValueError(f"The arguments must be rows of equal length, but have {len(causes)} and {len(findings)}.")
    left = 0.0
    for finding, times in Counter(findings).items():
        within = [cause for cause, found in zip(causes, findings, strict=True) if found == finding]
        left += times / len(causes) * _entropy(within)
    return max(_entropy(causes) - left, 0.0)


def best_measurement(*, causes: Sequence[str], measured: Sequence[Mapping[str, str]]) -> tuple[str, float] | None:
    """Return the measurement whose verdict tells the causes apart best.

    Formula: the largest ``information_gain`` over the cases in which it was measured; at least four of them with two
    causes, and of equal gains the one that comes first in the alphabet.

    Parameters:
        causes [-], row of texts: the cause of each case.
        measured [-], row of mappings: for each case the verdict of each measurement that was taken.
    Returns:
        [-] its name and its gain in bits; None where no measurement tells anything.
    Valid range: rows of equal length; ``ValueError`` for anything else.
    Example:
        >>> cases = [{"fan": "outside", "winding": "within"}] * 2 + [{"fan": "within", "winding": "within"}] * 2
        >>> best_measurement(causes=["duct", "duct", "switch", "switch"], measured=cases)
        ('fan', 1.0)

    Source: J. R. Quinlan, Induction of Decision Trees, Machine Learning 1 (1986), section 4; that four cases are
        needed is the project's own rule.
    """
    if len(causes) != len(measured):
        raise ValueError(f"The arguments must be rows of equal length, but have {len(causes)} and {len(measured)}.")
    best: tuple[str, float] | None = None
    for name in sorted({name for case in measured for name in case}):
        known = [(cause, case[name]) for cause, case in zip(causes, measured, strict=True) if name in case]
        if len(known) < 4 or len({cause for cause, _finding in known}) < 2:
            continue
        gain = information_gain(causes=[one[0] for one in known], findings=[one[1] for one in known])
        if gain > 1e-9 and (best is None or gain > best[1] + 1e-9):
            best = name, gain
    return best


def _entropy(causes: Sequence[str]) -> float:
    """Return the doubt that is in a row of causes, in bits."""
    return -sum(n / len(causes) * math.log2(n / len(causes)) for n in Counter(causes).values())
