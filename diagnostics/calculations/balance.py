"""How far readings that should be alike differ from each other: phases of a winding, of a voltage, of a curve."""

import math

from diagnostics.calculations import checks


def mean_of(*, values: checks.Row) -> float:
    """Return the mean of readings that can't be negative.

    Formula: mean = sum / n.

    Parameters:
        values [any unit], row of two or more: the readings.
    Returns:
        [unit of the values] the mean.
    Valid range: readings from zero up, not all of them zero. ``ValueError`` for anything else.
    Example:
        >>> mean_of(values=[1.0, 2.0, 3.0])
        2.0

    Source: arithmetic.
    """
    plain = checks.row(name="values", values=values, at_least=2).tolist()
    for value in plain:
        checks.not_negative(name="values", value=value)
    return checks.positive(name="mean of the values", value=checks.carried(name="mean", value=_sum(plain) / len(plain)))


def from_mean_percent(*, values: checks.Row) -> float:
    """Return the largest distance of a reading from the mean, in percent of the mean.

    Formula: 100 x max|x_i - mean| / mean.

    Parameters:
        values [any unit], row of two or more: the readings.
    Returns:
        [%] the unbalance.
    Valid range: readings from zero up, not all of them zero. ``ValueError`` for anything else.
    Example:
        >>> round(from_mean_percent(values=[0.2450, 0.2472, 0.2515]), 3)
        1.452

    Source: reference example 3.4, computed from the formula; ANSI/EASA AR100 uses this definition (from memory).
    """
    mean = mean_of(values=values)
    return 100.0 * max(abs(float(value) - mean) for value in values) / mean


def spread_percent(*, values: checks.Row) -> float:
    """Return the distance between the highest and the lowest reading, in percent of the mean.

    Formula: 100 x (max - min) / mean.

    Parameters:
        values [any unit], row of two or more: the readings.
    Returns:
        [%] the spread.
    Valid range: readings from zero up, not all of them zero. ``ValueError`` for anything else.
    Example:
        >>> round(spread_percent(values=[0.2450, 0.2472, 0.2515]), 3)
        2.622

    Source: reference example 3.4, computed from the formula.
    """
    mean = mean_of(values=values)
    return 100.0 * (float(max(values)) - float(min(values))) / mean


def from_mean_uncertainty_percent(*, values: checks.Row, counts: float, resolution: float) -> float:
    """Return the uncertainty of the largest distance from the mean, all readings being of one instrument.

    Formula: 100 (counts x resolution) / mean x sqrt((1 - q/n)^2 + (n - 1)(q/n)^2), where q = farthest reading / mean.
    The instrument's gain error multiplies every reading alike and cancels; the counts are independent. Two readings
    that are equally far give the same figure, whichever is taken.

    Parameters:
        values [any unit], row of two or more: the readings.
        counts [-], scalar: the "+ digits" of the data sheet.
        resolution [unit of the values], scalar: what the last digit is worth.
    Returns:
        [%] U of the unbalance, in percent points.
    Valid range: readings from zero up, not all of them zero; counts and resolution from zero up. ``ValueError`` for
        anything else.
    Example:
        >>> round(from_mean_uncertainty_percent(values=[0.1, 0.1, 0.1], counts=3, resolution=0.0001), 4)
        0.2449

    Source: first-order propagation (JCGM 100:2008, 5.1.2, from memory) of the formula of ``from_mean_percent``.
    """
    mean = mean_of(values=values)
    digits = checks.not_negative(name="counts", value=counts) * checks.not_negative(name="resolution", value=resolution)
    n = len(values)
    q = max((float(value) for value in values), key=lambda value: abs(value - mean)) / mean
    return checks.carried(
        name="uncertainty", value=100.0 * digits / mean * math.sqrt((1.0 - q / n) ** 2 + (n - 1) * (q / n) ** 2)
    )


def _sum(values: list[float]) -> float:
    """Return the sum without loss by rounding; infinity where it overflows."""
    try:
        return math.fsum(values)
    except OverflowError:
        return math.inf
