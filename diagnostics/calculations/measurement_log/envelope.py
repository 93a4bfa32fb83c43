"""A long log in few points that hide nothing: the lowest and the highest value of each stretch of time."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, kw_only=True, eq=False)
class Envelope:
    """Lowest and highest of each stretch of time that holds samples.

    Fields:
        times_s [s], row: the middle of each stretch.
        lowest [unit of the values], row: the lowest value in it.
        highest [unit of the values], row: the highest.
    Valid range: made by ``envelope``; nothing is checked here.
    Example:
        >>> Envelope(times_s=np.array([0.5]), lowest=np.array([1.0]), highest=np.array([2.0])).highest.tolist()
        [2.0]

    Source: the project's own rule.
    """

    times_s: NDArray[np.float64]
    lowest: NDArray[np.float64]
    highest: NDArray[np.float64]


def envelope(*, times_s: NDArray[np.float64], values: NDArray[np.float64], buckets: int) -> Envelope:
    """Return the lowest and the highest value in each of so many equal stretches of time.

    Formula: stretch k holds the samples with floor((t - t0) / (t1 - t0) x buckets) = k, the last sample in the last.

    Parameters:
        times_s [s], row: time of each sample, never falling.
        values [any unit], row: value at each of them.
        buckets [-], scalar: how many stretches.
    Returns:
        [s, unit of the values] the envelope; stretches without samples are left out, so that a gap stays one.
    Valid range: one sample or more, as many times as values, one bucket or more; nothing is checked here.
    Example:
        >>> found = envelope(times_s=np.array([0.0, 1, 2, 3]), values=np.array([5.0, 9, 1, 2]), buckets=2)
        >>> found.lowest.tolist(), found.highest.tolist()
        ([5.0, 1.0], [9.0, 2.0])

    Source: the project's own rule: no value lies outside what is drawn.
    """
    first, span = float(times_s[0]), float(times_s[-1]) - float(times_s[0])
    edges = first + span * np.arange(1, buckets) / buckets
    starts = np.unique(np.concatenate([[0], np.searchsorted(times_s, edges)]))
    starts = starts[starts < len(times_s)]
    ends = np.append(starts[1:], len(times_s)) - 1
    return Envelope(
        times_s=(times_s[starts] + times_s[ends]) / 2.0,
        lowest=np.minimum.reduceat(values, starts),
        highest=np.maximum.reduceat(values, starts),
    )
