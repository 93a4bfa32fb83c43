"""The uncertainty of a reading from its instrument's data sheet, and of a result from its readings."""

import math
from collections.abc import Sequence

from diagnostics.calculations import checks


def instrument_uncertainty(*, reading: float, percent_of_reading: float, counts: float, resolution: float) -> float:
    """Return the uncertainty of a reading from the accuracy that its instrument's data sheet states.

    Formula: U = abs(reading) x percent / 100 + counts x resolution, used as U (k = 2).

    Parameters:
        reading [any unit], scalar: what the display shows.
        percent_of_reading [%], scalar: the "% of reading" of the data sheet.
        counts [-], scalar: the "+ digits" of the data sheet.
        resolution [unit of the reading], scalar: what the last digit is worth in the range that was used.
    Returns:
        [unit of the reading] U.
    Valid range: any finite reading; the others from zero up. ``ValueError`` for anything else.
    Example:
        >>> instrument_uncertainty(reading=-200.0, percent_of_reading=0.5, counts=3, resolution=0.1)
        1.3

    Source: common practice, no source (the form in which data sheets of hand-held meters state accuracy).
    """
    reading = checks.number(name="reading", value=reading)
    gain = abs(reading) * checks.not_negative(name="percent_of_reading", value=percent_of_reading) / 100.0
    digits = checks.not_negative(name="counts", value=counts) * checks.not_negative(name="resolution", value=resolution)
    return checks.carried(name="uncertainty", value=gain + digits)


def reading_uncertainty(
    *, reading: float, percent_of_reading: float | None, counts: float | None, resolution: float | None
) -> float | None:
    """Return the uncertainty of a reading, or None where the instrument's accuracy is not known.

    Formula: that of ``instrument_uncertainty``.

    Parameters:
        reading [any unit], scalar: what the display shows.
        percent_of_reading [%], scalar or None: the "% of reading" of the data sheet.
        counts [-], scalar or None: the "+ digits" of the data sheet.
        resolution [unit of the reading], scalar or None: what the last digit is worth.
    Returns:
        [unit of the reading] U, or None if any of the three is None.
    Valid range: as ``instrument_uncertainty``; ``ValueError`` for anything else.
    Example:
        >>> reading_uncertainty(reading=10.0, percent_of_reading=None, counts=3, resolution=0.1) is None
        True

    Source: the project's own rule.
    """
    if percent_of_reading is None or counts is None or resolution is None:
        return None
    return instrument_uncertainty(
        reading=reading, percent_of_reading=percent_of_reading, counts=counts, resolution=resolution
    )


def propagate(*, contributions: checks.Row, shared: Sequence[checks.Row] = ()) -> float:
    """Return the uncertainty of a result to first order from what each input contributes to it.

    Formula: U = sqrt(sum c_i^2 + sum_g (sum_j s_gj)^2), where c_i = (d result / d input_i) x U_i for independent
    inputs, and s_gj the same, with its sign, for the inputs of a group g that share one instrument's gain: those move
    together, so they add up (or cancel) before they are squared.

    Parameters:
        contributions [unit of the result], row: sensitivity x U of every independent input; signs don't matter.
        shared [unit of the result], row of rows: one row for each shared gain, with signed sensitivity x U.
    Returns:
        [unit of the result] U with the same k as the inputs.
    Valid range: finite contributions; empty rows give 0.0. ``ValueError`` for anything else.
    Example:
        >>> propagate(contributions=[3.0, 4.0])
        5.0
        >>> propagate(contributions=[3.0], shared=[[5.0, -1.0]])
        5.0
        >>> propagate(contributions=[], shared=[[2.0, -2.0]])
        0.0

    Source: JCGM 100:2008 (GUM), 5.1.2 equation 10 and 5.2.2 note 1 (r = 1 inside a group), from memory.
    """
    independent = checks.row(name="contributions", values=contributions).tolist()
    groups = [math.fsum(checks.row(name="shared", values=group).tolist()) for group in shared]
    return checks.carried(name="uncertainty", value=math.hypot(*independent, *groups))
