"""Winding inductance over rotor position: whole curves of the pairs against each other.

Codes that ``assess_inductance`` adds to those of ``verdicts``:

=========================  ==========================================================================
reason                     meaning
=========================  ==========================================================================
missing_rotor_positions    too few positions for a machine whose inductance follows the rotor
next step                  meaning
suspect_shorted_turn       a curve differs from the others by more than the limit
=========================  ==========================================================================
"""

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from diagnostics.calculations import checks
from diagnostics.calculations.verdicts import Assessment, Limit, Verdict, assess, choose_limit, judge

MACHINES = ("permanent_magnet", "induction", "wound_rotor")
FEWEST_POSITIONS = 6  # over whole turns of the pattern; common practice, no source


def curve_difference_percent(*, curves_mh: Sequence[checks.Row]) -> float:
    """Return how far the pairs' curves over rotor position differ, in percent of the mean inductance.

    Formula: each curve is taken apart into its mean and its harmonics X_k (discrete Fourier transform). The sizes
    |X_k| don't depend on where a curve begins, so the electrical angle between the pairs drops out. Difference of a
    curve: sqrt(sum over all k of (|X_k| - mean of |X_k| over the curves)^2) / n; the largest of them x 100 / mean.
    Curves with one position give the unbalance from the mean.

    Parameters:
        curves_mh [mH], row of two or more rows of one length: inductance of each pair at equal steps of the rotor that
            fill whole periods.
    Returns:
        [%] the largest difference.
    Valid range: readings above zero. ``ValueError`` for anything else.
    Example:
        >>> round(curve_difference_percent(curves_mh=[[2.0, 3.0, 4.0, 3.0], [3.0, 4.0, 3.0, 2.0]]), 9)
        0.0
        >>> round(curve_difference_percent(curves_mh=[[0.2450], [0.2472], [0.2515]]), 3)
        1.452

    Source: shift theorem and Parseval's theorem of the discrete Fourier transform (from memory).
    """
    curves = _curves(curves_mh)
    sizes = np.abs(np.fft.fft(curves, axis=1))
    apart = np.sqrt(((sizes - sizes.mean(axis=0)) ** 2).sum(axis=1)) / curves.shape[1]
    return checks.carried(name="difference", value=float(100.0 * apart.max() / curves.mean()))


def curve_difference_uncertainty_percent(
    *, curves_mh: Sequence[checks.Row], counts: float, resolution_mh: float
) -> float:
    """Return the most that the instrument's counts can add to the difference of the curves.

    Formula: 100 (counts x resolution) / mean x sqrt(1 - 1/m), m curves. One instrument reads them all, so its gain
    cancels; independent counts of U at each position have that root mean square after the mean over the curves is
    taken away, and sizes of harmonics differ by no more than the readings do (triangle inequality).

    Parameters:
        curves_mh [mH], row of two or more rows of one length: as in ``curve_difference_percent``.
        counts [-], scalar: the "+ digits" of the data sheet.
        resolution_mh [mH], scalar: what the last digit is worth.
    Returns:
        [%] U of the difference, in percent points.
    Valid range: readings above zero; counts and resolution from zero up. ``ValueError`` for anything else.
    Example:
        >>> round(curve_difference_uncertainty_percent(curves_mh=[[1.0], [1.0]], counts=2, resolution_mh=0.01), 4)
        1.4142

    Source: Parseval's theorem and the triangle inequality (from memory).
    """
    curves = _curves(curves_mh)
    digits = checks.not_negative(name="counts", value=counts)
    digits *= checks.not_negative(name="resolution_mh", value=resolution_mh)
    return checks.carried(
        name="uncertainty", value=float(100.0 * digits / curves.mean() * math.sqrt(1.0 - 1.0 / len(curves)))
    )


def assess_inductance(
    *,
    curves_mh: Sequence[checks.Row],
    counts: float | None,
    resolution_mh: float | None,
    machine: str = "permanent_magnet",
    limits: Sequence[Limit] = (),
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return what the inductance of the pairs over rotor position proves.

    Formula: that of ``curve_difference_percent``. A machine with magnets, or with a wound rotor, needs whole curves:
    its inductance follows the rotor, so single values differ in a good machine too.

    Parameters:
        curves_mh [mH], row of rows: one row for each pair, all at the same rotor positions.
        counts [-], scalar or None: the "+ digits" of the data sheet.
        resolution_mh [mH], scalar or None: what the last digit is worth.
        machine [-], text: permanent_magnet, induction or wound_rotor.
        limits [%], row of Limit: maximum; none is published.
        concerns [-], row of texts: reason codes given by the caller.
    Returns:
        [%] the finding inductance_difference; unproven without a limit.
    Valid range: as the functions above. ``ValueError`` for anything else.
    Example:
        >>> assess_inductance(curves_mh=[[1.0], [1.0], [1.0]], counts=2, resolution_mh=0.001).findings[0].reason
        'missing_rotor_positions'

    Source: the project's own rule; that whole curves are compared: common practice, no source.
    """
    checks.choice(name="machine", value=machine, allowed=MACHINES)
    value = curve_difference_percent(curves_mh=curves_mh)
    few = machine != "induction" and len(curves_mh[0]) < FEWEST_POSITIONS
    uncertainty = None
    if counts is not None and resolution_mh is not None:
        uncertainty = curve_difference_uncertainty_percent(
            curves_mh=curves_mh, counts=counts, resolution_mh=resolution_mh
        )
    finding = judge(
        quantity="inductance_difference",
        value=value,
        unit="%",
        uncertainty=uncertainty,
        limit=choose_limit(limits=limits),
        concerns=[*concerns, *(["missing_rotor_positions"] if few else [])],
    )
    steps = ["suspect_shorted_turn"] if finding.verdict is Verdict.OUTSIDE else []
    return assess(findings=[finding], next_steps=steps)


def _curves(curves_mh: Sequence[checks.Row]) -> NDArray[np.float64]:
    """Return the curves as a table, one line for each pair."""
    if len(curves_mh) < 2:
        raise ValueError(f"The argument curves_mh must hold at least two curves, but it is {curves_mh!r}.")
    rows = [checks.positive_row(name="curves_mh", values=curve, at_least=1) for curve in curves_mh]
    for row in rows[1:]:
        checks.same_length(first_name="curves_mh, first", first=rows[0], second_name="curves_mh, next", second=row)
    return np.vstack(rows)
