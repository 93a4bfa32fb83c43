"""Our hot paths against the best engine for each, in the same run: `make bench`.

A row names a path and the goal as a ratio; its function gives our seconds and the reference's, taken in turns, so that
a slow minute of the machine slows both. Sizes are those of the goals; `--small` runs the same code on little data, to
show that it still works (the suite does that, and looks at no ratio).
"""

from __future__ import annotations

import gc
import re
import statistics
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tests.own_database import POSTGRESQL as POSTGRESQL
from tests.own_database import SQLITE as SQLITE

Pair = tuple[float, float]  # of ours and of the reference: seconds, or what the row says
NO_DATABASE = "none"


@dataclass(frozen=True, kw_only=True)
class Row:
    """One path that is measured. `measure` is told whether to work on little data."""

    path: str
    reference: str
    goal: float
    engine: str
    measure: Callable[[bool], Pair]
    unit: str = "s"


ROWS: list[Row] = []


def row(
    *, path: str, reference: str, goal: float, engines: tuple[str, ...] = (NO_DATABASE,), unit: str = "s"
) -> Callable:
    """Register a function as a row, once for each engine."""

    def register(measure: Callable[[bool], Pair]) -> Callable[[bool], Pair]:
        for engine in engines:
            ROWS.append(Row(path=path, reference=reference, goal=goal, engine=engine, measure=measure, unit=unit))
        return measure

    return register


def in_turns(ours: Callable[[], object], reference: Callable[[], object], *, rounds: int = 15) -> Pair:
    """Medians of both, run in turns after one run each that warms up."""
    times: tuple[list[float], list[float]] = ([], [])
    ours(), reference()
    gc.collect()
    for _round in range(rounds):
        for taken, run in zip(times, (ours, reference), strict=True):
            began = time.perf_counter()
            run()
            taken.append(time.perf_counter() - began)
    return statistics.median(times[0]), statistics.median(times[1])


def lines(engine: str, *, small: bool, wanted: str = "") -> Iterator[str]:
    """The rows of an engine, measured one after the other, as tab-separated lines."""
    for one in ROWS:
        if one.engine != engine or not re.search(wanted, one.path):
            continue
        ours, reference = one.measure(small)
        ratio = ours / reference
        name = one.path if engine == NO_DATABASE else f"{one.path} ({engine})"
        verdict = "ok" if ratio <= one.goal else "over"
        against = f"{one.reference} {_shown(reference, one.unit)}"
        yield f"{name}\t{_shown(ours, one.unit)}\t{against}\t{ratio:.2f}\t{one.goal:g}\t{verdict}"


def _shown(value: float, unit: str) -> str:
    return f"{value * 1000:.3g} ms" if unit == "s" and value < 1 else f"{value:.2f} {unit}"
