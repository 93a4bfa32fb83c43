"""Logs that an instrument writes: time, voltage and current out of a file of comma-separated values."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from diagnostics.calculations.measurement_log import encoding, layout, steps
from diagnostics.calculations.measurement_log.errors import LogError

__all__ = ["LogError", "MeasurementLog", "read_log"]

GAP_STEPS = 3.0  # a step over this many median steps is a gap; the project's own rule


@dataclass(frozen=True, kw_only=True, eq=False)
class MeasurementLog:
    """What a log holds, in seconds, volts and amperes.

    Fields:
        times_s [s], row: time of each sample, never falling.
        volts_v [V], row: voltage at each of them.
        currents_a [A], row: current at each of them, discharge positive where the log has it so.
        gaps [s], row of pairs: start and end of each step in which samples are missing.
    Valid range: made by ``read_log``; nothing is checked here. Two logs are compared field by field, not with ==.
    Example:
        >>> MeasurementLog(times_s=[0.0, 1.0], volts_v=[12.0, 12.0], currents_a=[1.0, 1.0], gaps=()).gaps
        ()

    Source: the project's own rule.
    """

    times_s: NDArray[np.float64]
    volts_v: NDArray[np.float64]
    currents_a: NDArray[np.float64]
    gaps: tuple[tuple[float, float], ...]


def read_log(*, data: bytes, columns: Mapping[str, str | int] | None = None) -> MeasurementLog:
    """Return the samples of a log, or name the first line that can't be read.

    Formula: none. The first line that isn't blank is the header, unless the three cells in question are numbers there.
    Cells are parted by tab, semicolon or comma, the first of these that parts the first line into three or more; they
    may be quoted. The decimal mark is a point or a comma, the same throughout. A unit in brackets after the header (s,
    ms, us, min, h; V, mV, kV; A, mA, kA, or their English names), or at its end ("time_ms"), is converted. Every line
    has as many cells as the first; empty ones beyond it are left out. Blank lines may stand before and after all
    others. Lines end with LF, CR LF or CR. A gap is a step over three times the median step.

    Parameters:
        data [-], bytes: the file as it is: UTF-8 or UTF-16 with or without byte order mark, else Windows-1252.
        columns [-], mapping or None: None takes the first headers that begin with time, voltage and current, in any
            case and order, else the first three columns; or time, voltage and current, each with the header or the
            position from 0 (times_s, volts_v and currents_a are understood as well).
    Returns:
        [s, V, A] times, volts and currents as numpy arrays, and the gaps.
    Valid range: one sample or more; a million take about as long as the parsing of their digits. ``LogError`` with the
        physical line (from 1, header counted) for an empty or non-finite cell, time that runs backwards, a number that
        isn't one or could be read in two ways, mixed decimal marks, a blank line between others, too many or too few
        cells, an unknown unit in brackets, a missing column, a NUL, an open quote. ``ValueError`` for data that is no
        bytes and columns that are no such mapping.
    Example:
        >>> log = read_log(data=b"Time [ms];Voltage [V];Current [A]\\n0;12,5;1,0\\n500;12,4;1,0\\n")
        >>> log.times_s.tolist(), log.volts_v.tolist()
        ([0.0, 0.5], [12.5, 12.4])
        >>> read_log(data=b"time,voltage,current\\n0,12.5,\\n")
        Traceback (most recent call last):
        diagnostics.calculations.measurement_log.errors.LogError: Line 2: the current is empty.

    Source: RFC 4180 for quotes; the rest is the project's own rule.
    """
    if not isinstance(data, bytes | bytearray | memoryview):
        raise ValueError(f"The argument data must be bytes, but it is {data!r:.80}.")
    wanted = None if columns is None else layout.wanted_columns(columns=columns)
    lines = encoding.to_utf8(data=bytes(data))
    plan = layout.find_layout(lines=lines, wanted=wanted)
    columns_read, _end = steps.read_on(lines=lines, plan=plan, standing=steps.begin(lines=lines, plan=plan))
    times, volts, currents = columns_read[:3]
    return MeasurementLog(times_s=times, volts_v=volts, currents_a=currents, gaps=gaps_of(times_s=times))


def gaps_of(*, times_s: NDArray[np.float64]) -> tuple[tuple[float, float], ...]:
    """Return start and end of each step in which samples are missing, or the clock was set forward.

    Formula: a gap is a step over three times the median step.

    Parameters:
        times_s [s], row: time of each sample, never falling.
    Returns:
        [s] pairs of start and end, in their order.
    Valid range: an array of any length; nothing is checked here.
    Example:
        >>> gaps_of(times_s=np.array([0.0, 1.0, 2.0, 9.0]))
        ((2.0, 9.0),)

    Source: the project's own rule.
    """
    widths = np.diff(times_s)
    if len(widths) == 0:
        return ()
    wide = np.flatnonzero(widths > GAP_STEPS * np.median(widths))
    return tuple(zip(times_s[wide].tolist(), times_s[wide + 1].tolist(), strict=True))
