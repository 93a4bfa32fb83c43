"""What the outcomes of repairs say: how many still run, whether one way lasts longer, and how sure that is."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from diagnostics.calculations import checks

CONFIDENCE = 0.95  # of the bounds of a survival curve
MEDIAN_TOLERANCE = 1e-12  # so that a curve which reaches one half exactly isn't missed by rounding
SINGULAR = 1e-10  # share of the largest eigenvalue below which one of the log-rank covariance counts as zero

Floats = NDArray[np.float64]
Counts = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True, eq=False)
class Survival:
    """A Kaplan-Meier curve at the times at which something failed.

    Fields:
        times_months [months], row: event times only, rising.
        at_risk [-], row: how many were followed up to each of them and had not failed before.
        failures [-], row: how many failed then.
        survival [-], row: share that still runs just after, 0 to 1.
        standard_error [-], row: Greenwood's; 0.0 where survival is 0.
        lower [-], row: lower end of the log-log 95 % bounds; 0.0 where survival is 0.
        upper [-], row: upper end of them; 0.0 where survival is 0.
        median_months [months], scalar or None: the smallest time with survival at one half or below; None if not
            reached.
    Valid range: made by ``survival``; nothing is checked here. Two curves are compared field by field, not with ==.
    Example:
        >>> survival(durations_months=[1, 2], failed=[True, False]).survival.tolist()
        [0.5]

    Source: Kaplan and Meier, J. Am. Stat. Assoc. 53 (1958) 457, from memory.
    """

    times_months: Floats
    at_risk: Counts
    failures: Counts
    survival: Floats
    standard_error: Floats
    lower: Floats
    upper: Floats
    median_months: float | None


@dataclass(frozen=True, kw_only=True)
class LogRank:
    """The log-rank comparison of two or more groups.

    Fields:
        chi_square [-], scalar: the statistic.
        degrees_of_freedom [-], scalar: number of groups less one.
        p_value [-], scalar: chance of such a difference, or a larger one, where there is none.
        observed [-], mapping of name to scalar: failures in each group.
        expected [-], mapping of name to scalar: failures each group would have if all were alike.
    Valid range: made by ``compare``; nothing is checked here.
    Example:
        >>> LogRank(chi_square=0.0, degrees_of_freedom=1, p_value=1.0, observed={}, expected={}).p_value
        1.0

    Source: Mantel, Cancer Chemother. Rep. 50 (1966) 163, from memory.
    """

    chi_square: float
    degrees_of_freedom: int
    p_value: float
    observed: dict[str, float]
    expected: dict[str, float]


@dataclass(frozen=True, kw_only=True)
class Proportion:
    """A share with its interval.

    Fields:
        estimate [-], scalar: successes / trials.
        lower [-], scalar: lower end of the interval.
        upper [-], scalar: upper end of it.
    Valid range: made by ``proportion_interval``; nothing is checked here.
    Example:
        >>> Proportion(estimate=0.5, lower=0.1, upper=0.9).estimate
        0.5

    Source: NIST/SEMATECH e-Handbook, 7.2.4.1.
    """

    estimate: float
    lower: float
    upper: float


def survival(*, durations_months: checks.Row, failed: object) -> Survival:
    """Return the Kaplan-Meier curve of outcomes, some of which have only been followed for a while.

    Formula: S(t) = product over event times up to t of (1 - d / n), d failures among n at risk; whoever was last seen
    at t was still at risk at t. Greenwood: se = S sqrt(sum d / (n (n - d))). Log-log 95 % bounds:
    S^exp(+- z sqrt(sum d / (n (n - d))) / ln S), z = 1.95996. Where S is 0, error and bounds are 0.0.

    Parameters:
        durations_months [months], row: from the repair to the failure, or until last seen.
        failed [-], row of truth values (True or False, 1 or 0): whether it failed then.
    Returns:
        [months and shares] the curve at event times only; rows are numpy arrays, empty where nothing failed.
    Valid range: durations from zero up, one or more. ``ValueError`` for anything else, lengths that differ, and what
        is no truth value.
    Example:
        >>> curve = survival(durations_months=[6, 6, 6, 7, 10], failed=[True, True, False, True, False])
        >>> curve.times_months.tolist(), curve.at_risk.tolist(), curve.survival.round(3).tolist()
        ([6.0, 7.0], [5, 2], [0.6, 0.3])
        >>> curve.median_months
        7.0

    Source: Kaplan and Meier, J. Am. Stat. Assoc. 53 (1958) 457; bounds as in Kalbfleisch and Prentice, The Statistical
        Analysis of Failure Time Data, 1.4; both from memory.
    """
    durations, events = _outcomes("durations_months", durations_months, "failed", failed)
    times, failures = _event_times(durations[events])
    at_risk = len(durations) - np.searchsorted(np.sort(durations), times)
    left = at_risk - failures
    share: Floats = np.cumprod(left / at_risk, dtype=np.float64)
    running = share > 0.0
    greenwood = np.sqrt(np.cumsum(np.divide(failures / at_risk, left, out=np.zeros(len(times)), where=running)))
    spread = _normal_quantile(CONFIDENCE) * np.divide(
        greenwood, np.log(share, out=np.full(len(times), -1.0), where=running)
    )
    reached = np.flatnonzero(share <= 0.5 + MEDIAN_TOLERANCE)
    return Survival(
        times_months=times,
        at_risk=at_risk,
        failures=failures,
        survival=share,
        standard_error=share * greenwood,
        lower=share ** np.exp(-spread),
        upper=share ** np.exp(spread),
        median_months=float(times[reached[0]]) if len(reached) > 0 else None,
    )


def compare(*, groups: Mapping[str, tuple[checks.Row, object]]) -> LogRank:
    """Return the log-rank test of whether the repairs of some groups last alike.

    Formula: at each event time with d failures among n at risk, a group with n_j at risk expects d n_j / n failures,
    with the hypergeometric covariance d (n - d) / (n - 1) x n_j / n x (1 if j = l else 0, less n_l / n). Chi-square =
    u' V+ u, u = observed - expected summed over time, V+ the pseudo-inverse of the summed covariance.

    Parameters:
        groups [months and truth values], mapping of name to two rows: durations and whether each failed, as in
            ``survival``; two groups or more.
    Returns:
        [-] the statistic, its degrees of freedom, its p value, and what each group showed and would be expected to.
    Valid range: as in ``survival`` for each group. ``ValueError`` for fewer than two groups. Where nothing failed at
        all, chi-square is 0.0 and p is 1.0.
    Example:
        >>> result = compare(groups={"first": ([1, 2, 3], [1, 1, 1]), "second": ([4, 5, 6], [1, 1, 0])})
        >>> result.observed, round(result.chi_square, 3), result.degrees_of_freedom
        ({'first': 3.0, 'second': 2.0}, 5.052, 1)

    Source: Mantel, Cancer Chemother. Rep. 50 (1966) 163, from memory.
    """
    if not isinstance(groups, Mapping) or len(groups) < 2:
        raise ValueError(f"The argument groups must hold two groups or more, but it is {groups!r}.")
    members = [_group(name, group) for name, group in groups.items()]
    times, failures = _event_times(np.concatenate([durations[events] for durations, events in members]))
    at_risk = np.array(
        [len(durations) - np.searchsorted(np.sort(durations), times) for durations, _ in members], dtype=np.float64
    )
    total = at_risk.sum(axis=0)
    shares = at_risk / total
    observed = np.array([np.count_nonzero(events) for _, events in members], dtype=np.float64)
    expected = shares @ failures
    weights = np.divide(failures * (total - failures), total - 1.0, out=np.zeros(len(times)), where=total > 1.0)
    covariance = np.diag(shares @ weights) - (shares * weights) @ shares.T
    difference = observed - expected
    chi_square = float(difference @ np.linalg.pinv(covariance, rcond=SINGULAR, hermitian=True) @ difference)
    degrees = len(members) - 1
    return LogRank(
        chi_square=chi_square,
        degrees_of_freedom=degrees,
        p_value=_chi_square_tail(chi_square, degrees),
        observed=dict(zip(groups, observed.tolist(), strict=True)),
        expected=dict(zip(groups, expected.tolist(), strict=True)),
    )


def proportion_interval(*, successes: float, trials: float, confidence: float = CONFIDENCE) -> Proportion:
    """Return the share of successes with its Wilson interval.

    Formula: p = s / n; centre (p + z^2 / 2n) / (1 + z^2 / n); half width z sqrt(p (1 - p) / n + z^2 / 4n^2) /
    (1 + z^2 / n), without continuity correction. With no success the lower end is 0.0, with no failure the upper 1.0.

    Parameters:
        successes [-], scalar: a whole number from 0 to trials.
        trials [-], scalar: a whole number from 1 up.
        confidence [-], scalar: between 0 and 1, both excluded.
    Returns:
        [-] estimate and interval, 0 to 1.
    Valid range: as said; ``ValueError`` for anything else.
    Example:
        >>> interval = proportion_interval(successes=81, trials=263)
        >>> round(interval.lower, 4), round(interval.upper, 4)
        (0.2553, 0.3662)

    Source: NIST/SEMATECH e-Handbook, 7.2.4.1; example: Newcombe, Stat. Med. 17 (1998) 857, table I, method 3, as
        quoted.
    """
    tried = _whole("trials", checks.positive(name="trials", value=trials))
    won = _whole("successes", checks.between(name="successes", value=successes, lowest=0.0, highest=tried))
    level = checks.number(name="confidence", value=confidence)
    if not 0.0 < level < 1.0:
        raise ValueError(f"The argument confidence must lie between 0 and 1, but it is {confidence!r}.")
    z = _normal_quantile(level)
    share = won / tried
    widening = 1.0 + z * z / tried
    centre = (share + z * z / (2.0 * tried)) / widening
    half = z * math.sqrt(share * (1.0 - share) / tried + z * z / (4.0 * tried * tried)) / widening
    return Proportion(
        estimate=share,
        lower=0.0 if won == 0.0 else max(0.0, centre - half),
        upper=1.0 if won == tried else min(1.0, centre + half),
    )


def _outcomes(
    durations_name: str, durations: object, failed_name: str, failed: object
) -> tuple[Floats, NDArray[np.bool_]]:
    """Return durations and failures as arrays of one length, or refuse them."""
    months = checks.row(name=durations_name, values=durations, at_least=1)
    if months.min() < 0.0:
        at = int(np.argmin(months))
        raise ValueError(
            f"The argument {durations_name} must not hold negative durations, "
            f"but position {at} holds {float(months[at])!r}."
        )
    events = _truths(failed_name, failed)
    if len(events) != len(months):
        raise ValueError(
            f"The arguments {durations_name} and {failed_name} must be of one length, "
            f"but they hold {len(months)} and {len(events)} values."
        )
    return months, events


def _truths(name: str, values: object) -> NDArray[np.bool_]:
    """Return a row of truth values, given as True and False or as 1 and 0, or refuse it."""
    sentence = f"The argument {name} must be a row of truth values, but it is {values!r:.200}."
    if not isinstance(values, list | tuple | np.ndarray):
        raise ValueError(sentence)
    try:
        plain = np.asarray(values)
    except ValueError:  # rows inside the row, of different lengths
        raise ValueError(sentence) from None
    if plain.ndim != 1 or (len(plain) > 0 and plain.dtype.kind not in "biuf"):
        raise ValueError(sentence)
    if plain.dtype.kind == "b":
        return plain.astype(np.bool_)
    strange = np.flatnonzero((plain != 0) & (plain != 1))
    if len(strange) > 0:
        at = int(strange[0])
        raise ValueError(f"The argument {name} must hold truth values only, but position {at} holds {plain[at]!r}.")
    return plain.astype(np.bool_)


def _group(name: object, group: object) -> tuple[Floats, NDArray[np.bool_]]:
    """Return the durations and failures of one group, or refuse it by its name."""
    if not isinstance(group, list | tuple) or len(group) != 2:
        raise ValueError(f"The group {name!r} of the argument groups must be two rows, but it is {group!r}.")
    return _outcomes(f"durations of group {name!r}", group[0], f"failures of group {name!r}", group[1])


def _event_times(failing: Floats) -> tuple[Floats, Counts]:
    """Return the times at which something failed, rising, and how many failed at each."""
    ordered = np.sort(failing)
    first = np.flatnonzero(np.concatenate([[True], ordered[1:] != ordered[:-1]])[: len(ordered)])
    return ordered[first], np.diff(np.append(first, len(ordered)))


def _normal_quantile(confidence: float) -> float:
    """Return z such that a standard normal variable lies between -z and z with the given chance."""
    return -NormalDist().inv_cdf((1.0 - confidence) / 2.0)


def _chi_square_tail(chi_square: float, degrees_of_freedom: int) -> float:
    """Return the chance of a chi-square value at or above the given one."""
    from scipy import special  # loaded here: only comparisons need it, and it takes a while

    return float(special.chdtrc(degrees_of_freedom, max(chi_square, 0.0)))


def _whole(name: str, value: float) -> float:
    """Return a number without decimals, or refuse it."""
    if not value.is_integer():
        raise ValueError(f"The argument {name} must be a whole number, but it is {value!r}.")
    return value
