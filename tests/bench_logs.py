"""The row of `make bench` for logs: a million rows read, checked and integrated, against polars and numpy in the same run."""

from __future__ import annotations

import io
import time
from dataclasses import dataclass
from statistics import median

import numpy as np
import polars

from diagnostics.calculations.battery import capacity_from_log
from diagnostics.calculations.measurement_log import read_log

GOAL = 5.0  # times polars.read_csv and numpy.trapezoid
GOAL_MEGABYTES = 200.0


@dataclass(frozen=True, kw_only=True)
class LogRow:
    ours_s: float
    reference_s: float
    more_megabytes: float  # how much higher the process's memory rose than with the file alone

    @property
    def ratio(self) -> float:
        return self.ours_s / self.reference_s


def a_log(rows: int = 1_000_000) -> bytes:
    """Four columns as a logger writes them: time, voltage, current, temperature."""
    draw = np.random.default_rng(2611)
    table = np.column_stack(
        [np.arange(rows) / 10, 400 - draw.random(rows) * 50, draw.normal(0, 90, rows), 20 + draw.random(rows) * 10]
    )
    file = io.BytesIO()
    header = "Time [s],Voltage [V],Current [A],Temperature [C]"
    np.savetxt(file, table, fmt=("%.1f", "%.3f", "%.3f", "%.1f"), delimiter=",", header=header, comments="")
    return file.getvalue()


def ours(data: bytes) -> float:
    return capacity_from_log(log=read_log(data=data)).charge_ah


def reference(data: bytes) -> float:
    table = polars.read_csv(data)
    return float(np.trapezoid(table.to_series(2).to_numpy(), table.to_series(0).to_numpy())) / 3600


def highest_megabytes() -> float:
    """The process's high-water mark of memory; Linux alone tells it."""
    with open("/proc/self/status", encoding="ascii") as status:
        return int(next(line for line in status if line.startswith("VmHWM")).split()[1]) / 1024


def measure(rows: int = 1_000_000, turns: int = 7) -> LogRow:
    """Both, one after the other and so many times; medians. Run it in a fresh process, for the memory to mean something."""
    data = a_log(rows)
    with open("/proc/self/clear_refs", "w", encoding="ascii") as refs:
        refs.write("5")  # the high-water mark begins again at what is held now
    before = highest_megabytes()
    charge = ours(data)
    more = highest_megabytes() - before
    assert abs(charge - reference(data)) <= 1e-9 * max(1.0, abs(charge)), "the two don't agree"
    times: dict[str, list[float]] = {"ours": [], "reference": []}
    for _turn in range(turns):
        for name, run in (("ours", ours), ("reference", reference)):
            start = time.perf_counter()
            run(data)
            times[name].append(time.perf_counter() - start)
    return LogRow(ours_s=median(times["ours"]), reference_s=median(times["reference"]), more_megabytes=more)
