"""A log in few points: enough to draw it, small enough to stand in the record itself."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from diagnostics.calculations.measurement_log import MeasurementLog

POINTS = 120


def preview(log: MeasurementLog | dict[str, Any]) -> dict[str, Any]:
    """The log's extent, its gaps, and of each stretch the samples with the lowest and the highest voltage.

    So no dip is lost, and each picked sample was measured. What is a preview already is given back as it is.
    """
    if isinstance(log, dict):
        return log
    rows = len(log.times_s)
    picked = np.arange(rows) if rows <= POINTS else _lowest_and_highest(log.volts_v)
    return {
        "rows": rows,
        "gaps": [[float(start), float(end)] for start, end in log.gaps],
        "times_s": [float(t) for t in log.times_s[picked]],
        "volts_v": [float(v) for v in log.volts_v[picked]],
        "currents_a": [float(a) for a in log.currents_a[picked]],
    }


def _lowest_and_highest(volts: NDArray[np.float64]) -> NDArray[np.intp]:
    """Positions of the first and the last sample, and of the lowest and the highest of each of many equal parts."""
    edges = np.linspace(0, len(volts), POINTS // 2).astype(int)
    parts = [(start, volts[start:end]) for start, end in pairwise(edges.tolist())]
    extremes = [start + int(at) for start, part in parts for at in (part.argmin(), part.argmax())]
    return np.unique([0, *extremes, len(volts) - 1])
