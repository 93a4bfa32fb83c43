"""How long until a battery is a nuisance: two laws of fade give a range, never one number."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from diagnostics.calculations import checks

CONFIDENCE = 0.95  # of the interval of the slope
HIGHEST = 1000.0  # years, and percent: beyond both lies a slip of the keyboard
YOUNGEST_YEARS = 1e-6  # half a minute: below it there is no slope
FEWEST_FOR_INTERVAL = 3  # findings; with fewer the interval tells nothing


@dataclass(frozen=True, kw_only=True)
class CapacityFinding:
    """One capacity that was found, with the age at which it was.

    Fields:
        age_years [years], scalar: age of the battery.
        capacity_percent [%], scalar: capacity in percent of rated.
    Valid range: age 0 to 1000 years, capacity 0 to 1000 %. ``ValueError`` for anything else.
    Example:
        >>> CapacityFinding(age_years=10, capacity_percent=52).age_years
        10.0

    Source: the project's own rule.
    """

    age_years: float
    capacity_percent: float

    def __post_init__(self) -> None:
        """Refuse what can't be, and keep the figures as plain floats."""
        for name in ("age_years", "capacity_percent"):
            plain = checks.between(name=name, value=getattr(self, name), lowest=0.0, highest=HIGHEST)
            object.__setattr__(self, name, plain)


@dataclass(frozen=True, kw_only=True)
class FadeOutlook:
    """Years from the newest finding until the limit, by two laws, each with its interval.

    Fields:
        linear_years [years], scalar: by the linear law; infinity without fade, 0.0 at the limit.
        linear_low [years], scalar or None: lower end of the 95 % interval; None with fewer than three findings.
        linear_high [years], scalar or None: upper end of it.
        square_root_years [years], scalar: by the square-root law.
        square_root_low [years], scalar or None: lower end of its 95 % interval.
        square_root_high [years], scalar or None: upper end of it.
    Valid range: made by ``fade_outlook``; nothing is checked here.
    Example:
        >>> fade_outlook(history=[CapacityFinding(age_years=10, capacity_percent=100)]).linear_years
        inf

    Source: the project's own rule.
    """

    linear_years: float
    linear_low: float | None
    linear_high: float | None
    square_root_years: float
    square_root_low: float | None
    square_root_high: float | None


def fade_outlook(*, history: Sequence[CapacityFinding], limit_percent: float = 40.0) -> FadeOutlook:
    """Return how long a battery has until its capacity reaches a limit.

    Formula: capacity = 100 - a t (linear) or 100 - b sqrt(t) (square root), t in years; each slope is the least-squares
    line through 100 % at age 0: sum(x loss) / sum(x^2), x = t or sqrt(t). Its standard error is
    sqrt(sum(residual^2) / (n - 1) / sum(x^2)), its 95 % interval t(0.975, n - 1) of them to each side. The limit is
    reached at (100 - limit) / a or ((100 - limit) / b)^2; the age of the newest finding is taken off, down to 0.0.

    Parameters:
        history [years, %], row of CapacityFinding: in any order, one or more, one of them above age 0.
        limit_percent [%], scalar: the capacity that counts as the end, below 100.
    Returns:
        [years] from the newest finding: by each law, with low and high (None with fewer than three findings); 0.0
            throughout where the newest is at or below the limit already; infinity without fade.
    Valid range: as said; of several findings at the newest age the last counts as the newest. ``ValueError`` for
        anything else.
    Example:
        >>> outlook = fade_outlook(history=[CapacityFinding(age_years=10, capacity_percent=52)])
        >>> round(outlook.linear_years, 3), round(outlook.square_root_years, 3), outlook.linear_low
        (2.5, 5.625, None)

    Source: calendar loss with sqrt(t), cycle loss about linear in charge throughput: Wang et al., J. Power Sources 269
        (2014) 937; 40 %, and half the capacity at ten years: common practice, no source.
    """
    limit = checks.not_negative(name="limit_percent", value=limit_percent)
    if limit >= 100.0:
        raise ValueError(f"The argument limit_percent must be below 100, but it is {limit_percent!r}.")
    if not isinstance(history, list | tuple) or not all(isinstance(one, CapacityFinding) for one in history):
        raise ValueError(f"The argument history must be a row of CapacityFinding, but it is {history!r}.")
    ages = np.array([one.age_years for one in history])
    losses = 100.0 - np.array([one.capacity_percent for one in history])
    if len(ages) == 0 or ages.max() < YOUNGEST_YEARS:
        raise ValueError(f"The argument history must hold a finding above age 0, but it is {history!r}.")
    newest = max(enumerate(history), key=lambda numbered: (numbered[1].age_years, numbered[0]))[1]
    at_limit = newest.capacity_percent <= limit
    linear = [_years(slope, 100.0 - limit, 1, newest.age_years, at_limit) for slope in _slopes(ages, losses)]
    root = [_years(slope, 100.0 - limit, 2, newest.age_years, at_limit) for slope in _slopes(np.sqrt(ages), losses)]
    return FadeOutlook(
        linear_years=linear[0],
        linear_low=linear[1] if len(linear) > 1 else None,
        linear_high=linear[2] if len(linear) > 1 else None,
        square_root_years=root[0],
        square_root_low=root[1] if len(root) > 1 else None,
        square_root_high=root[2] if len(root) > 1 else None,
    )


def _slopes(x: NDArray[np.float64], losses: NDArray[np.float64]) -> list[float]:
    """Return the slope through the origin; with three findings or more also its upper and lower end, in this order."""
    square = float(x @ x)
    slope = float(x @ losses) / square
    if len(x) < FEWEST_FOR_INTERVAL:
        return [slope]
    from scipy import special  # loaded here: only intervals need it, and it takes a while

    residuals = losses - slope * x
    error = math.sqrt(float(residuals @ residuals) / (len(x) - 1) / square)
    reach = float(special.stdtrit(len(x) - 1, 0.5 + CONFIDENCE / 2.0)) * error
    return [slope, slope + reach, slope - reach]


def _years(slope: float, loss: float, power: int, age: float, at_limit: bool) -> float:
    """Return the years from an age until a loss is reached by loss = slope x t^(1 / power)."""
    if at_limit:
        return 0.0
    if slope <= 0.0:
        return math.inf
    ratio = loss / slope
    return max(0.0, math.prod([ratio] * power) - age)
