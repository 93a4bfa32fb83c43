"""A reading among readings of the same kind from other cars: where it stands, whatever any limit says.

Nothing here judges: a reading far from the others is looked at again, it is not outside anything.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from diagnostics.calculations import checks

# The 0.75 quantile of the standard normal distribution: MAD of a normal distribution in standard deviations.
NORMAL_MAD = 0.6745  # Iglewicz and Hoaglin 1993, from memory
FAR_SCORE = 3.5  # the same: beyond it a value is labelled a potential outlier
FEWEST_READINGS = 3  # below it there is no spread to speak of


@dataclass(frozen=True, kw_only=True)
class Standing:
    """How a reading stands among others.

    Fields:
        value [unit], scalar: the reading.
        count [-], whole number: how many others there are.
        median [unit], scalar: of the others.
        lower_quarter [unit], scalar: a quarter of the others lies below.
        upper_quarter [unit], scalar: a quarter of the others lies above.
        lowest [unit], scalar: of the others.
        highest [unit], scalar: of the others.
        score [-], scalar or None: robust score of the reading; None where the others are too few, or all alike.
        is_far [-], truth value: the score lies beyond 3.5 on either side.
    Valid range: made by ``standing_among``; nothing is checked here.
    Example:
        >>> Standing(value=5.0, count=3, median=4.0, lower_quarter=3.5, upper_quarter=4.5, lowest=3.0, highest=5.0,
        ...          score=0.7, is_far=False).count
        3

    Source: the project's own rule.
    """

    value: float
    count: int
    median: float
    lower_quarter: float
    upper_quarter: float
    lowest: float
    highest: float
    score: float | None
    is_far: bool


def robust_score(*, value: float, others: checks.Row, smallest_spread: float = 0.0) -> float | None:
    """Return how far a value lies from the median of others, in robust standard deviations.

    Formula: M = 0.6745 (x - median) / MAD, MAD = median of abs(x_i - median), not below the smallest spread.

    Parameters:
        value [any unit], scalar: the reading.
        others [the same unit], row of at least one: what it is compared with.
        smallest_spread [the same unit], scalar: MAD counts for at least this; what the instrument can't tell apart.
    Returns:
        [-] the score, negative below the median; None where both MAD and the smallest spread are zero.
    Valid range: finite figures, a smallest spread from zero up; ``ValueError`` for anything else.
    Example:
        >>> robust_score(value=9.0, others=[1.0, 2.0, 3.0, 4.0, 5.0])
        4.047

    Source: Iglewicz and Hoaglin, How to Detect and Handle Outliers, 1993, from memory.
    """
    value = checks.number(name="value", value=value)
    row = _others(others)
    median = float(np.median(row))
    spread = max(
        float(np.median(np.abs(row - median))), checks.not_negative(name="smallest_spread", value=smallest_spread)
    )
    score = NORMAL_MAD * (value - median) / spread if spread > 0.0 else math.inf
    return score if math.isfinite(score) else None


def standing_among(*, value: float, others: checks.Row, smallest_spread: float = 0.0) -> Standing:
    """Return how a reading stands among others: their median and quarters, and its robust score.

    Formula: quarters by linear interpolation between the ordered values; the score that of ``robust_score``.

    Parameters:
        value [any unit], scalar: the reading.
        others [the same unit], row of at least one: what it is compared with.
        smallest_spread [the same unit], scalar: as in ``robust_score``.
    Returns:
        [-] the standing; without a score where there are fewer than three others.
    Valid range: as ``robust_score``.
    Example:
        >>> found = standing_among(value=9.0, others=[1.0, 2.0, 3.0, 4.0, 5.0])
        >>> found.median, found.lower_quarter, found.upper_quarter, found.is_far
        (3.0, 2.0, 4.0, True)

    Source: Iglewicz and Hoaglin 1993, from memory; quarters as ``statistics.quantiles(method="inclusive")``.
    """
    row = _others(others)
    lower, middle, upper = (float(one) for one in np.quantile(row, [0.25, 0.5, 0.75]))
    score = robust_score(value=value, others=row, smallest_spread=smallest_spread)
    if row.size < FEWEST_READINGS:
        score = None
    return Standing(
        value=float(value),
        count=int(row.size),
        median=middle,
        lower_quarter=lower,
        upper_quarter=upper,
        lowest=float(row.min()),
        highest=float(row.max()),
        score=score,
        is_far=score is not None and abs(score) > FAR_SCORE,
    )


def _others(others: checks.Row) -> NDArray[np.float64]:
    """Return the others as an array of at least one."""
    return checks.row(name="others", values=others, at_least=1)
