"""A log in few points: enough to draw it, small enough to stand in the record itself."""

from __future__ import annotations

from typing import Any

import numpy as np

from diagnostics.calculations.measurement_log import MeasurementLog

POINTS = 120


def preview(log: MeasurementLog | dict[str, Any]) -> dict[str, Any]:
    """The log's extent, its gaps and evenly picked samples; what is a preview already is given back as it is."""
    if isinstance(log, dict):
        return log
    rows = len(log.times_s)
    picked = np.unique(np.linspace(0, rows - 1, min(rows, POINTS)).round().astype(int))
    return {
        "rows": rows,
        "gaps": [[float(start), float(end)] for start, end in log.gaps],
        "times_s": [float(t) for t in log.times_s[picked]],
        "volts_v": [float(v) for v in log.volts_v[picked]],
        "currents_a": [float(a) for a in log.currents_a[picked]],
    }
