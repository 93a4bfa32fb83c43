"""The careful way through a log: line by line, for logs that aren't plain, and to name the line that is wrong."""

import math
from array import array
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from diagnostics.calculations.measurement_log import cells
from diagnostics.calculations.measurement_log.errors import LogError
from diagnostics.calculations.measurement_log.layout import Layout
from diagnostics.calculations.measurement_log.stamps import seconds_of


@dataclass(frozen=True, kw_only=True)
class Place:
    """How far a log was read.

    Fields:
        offset [bytes], scalar: where the next line begins.
        line [-], scalar: the physical line of it, from 1.
        last_s [s], scalar or None: the time of the last sample; None before the first.
        marks [-], text: the decimal marks seen in numbers so far, where the careful way was gone.
    Valid range: made by ``read_lines`` and ``steps``; nothing is checked here.
    Example:
        >>> Place(offset=0, line=1).marks
        ''

    Source: the project's own rule.
    """

    offset: int
    line: int
    last_s: float | None = None
    marks: str = ""


def read(*, lines: bytes, plan: Layout) -> list[NDArray[np.float64]]:
    """Return times, volts and currents of a log, or name the first line that is wrong.

    Formula: value = number x multiplier / divisor of its unit.

    Parameters:
        lines [-], bytes: the whole log as ``to_utf8`` returns it.
        plan [-], Layout: how it is laid out.
    Returns:
        [s, V, A] three arrays of one length.
    Valid range: ``LogError`` as told at ``read_log``.
    Example:
        >>> from diagnostics.calculations.measurement_log.layout import find_layout
        >>> text = b"time,voltage,current\\n0,12.5,1\\n"
        >>> [column.tolist() for column in read(lines=text, plan=find_layout(lines=text, wanted=None))]
        [[0.0], [12.5], [1.0]]

    Source: the project's own rule.
    """
    start = Place(offset=plan.offset, line=plan.line)
    columns, _place = read_lines(lines=lines, plan=plan, place=start, until=len(lines))
    if len(columns[0]) == 0:
        raise LogError(line=plan.line, problem="there is no sample")
    return columns


def read_lines(*, lines: bytes, plan: Layout, place: Place, until: int) -> tuple[list[NDArray[np.float64]], Place]:
    """Return the samples of some lines of a log and how far it was read, or name the first line that is wrong.

    Formula: value = number x multiplier / divisor of its unit.

    Parameters:
        lines [-], bytes: the whole log as ``to_utf8`` returns it.
        plan [-], Layout: how it is laid out.
        place [-], Place: where to begin.
        until [bytes], scalar: the last line read is the one that reaches this.
    Returns:
        [s, V, A] an array for each field of the plan, and the place after them.
    Valid range: ``LogError`` as told at ``read_log``.
    Example:
        >>> from diagnostics.calculations.measurement_log.layout import find_layout
        >>> text = b"time,voltage,current\\n0,12.5,1\\n1,12.4,1\\n"
        >>> plan = find_layout(lines=text, wanted=None)
        >>> columns, place = read_lines(lines=text, plan=plan, place=Place(offset=21, line=2), until=22)
        >>> columns[0].tolist(), place.line, place.last_s
        ([0.0], 3, 0.0)

    Source: the project's own rule.
    """
    columns = [array("d") for _ in plan.fields]
    marks = set(place.marks)
    offset, expected, last = place.offset, place.line, place.last_s
    for record in cells.records(lines=lines, offset=offset, line=expected):
        if record.line != expected:
            raise LogError(line=expected, problem="it is blank, but others follow")
        offset, expected = record.end, record.next_line
        sample = _sample(record, plan, marks, last)
        for column, value in zip(columns, sample, strict=True):
            column.append(value)
        last = sample[0]
        if offset >= until:
            break
    else:
        offset = len(lines)
    found = [np.array(column, dtype=np.float64) for column in columns]
    return found, Place(offset=offset, line=expected, last_s=last, marks="".join(sorted(marks)))


def further_problems(
    *, lines: bytes, plan: Layout, line: int, most: int = 4, within_bytes: int = 1 << 20
) -> tuple[LogError, ...]:
    """Return what is wrong with the next bad lines after the first one, so that all can be mended at once.

    Formula: each line by itself, as ``read_lines`` reads it; a bad one is skipped.

    Parameters:
        lines [-], bytes: the whole log as ``to_utf8`` returns it.
        plan [-], Layout: how it is laid out.
        line [-], scalar: the physical line that is known to be bad, from 1.
        most [-], scalar: how many are named.
        within_bytes [bytes], scalar: how far behind that line they are looked for.
    Returns:
        [-] the problems, in the order of their lines.
    Valid range: any line; one beyond the end gives none.
    Example:
        >>> from diagnostics.calculations.measurement_log.layout import find_layout
        >>> text = b"time,voltage,current\\n0,oops,1\\n1,12.4,1\\n2,,1\\n"
        >>> found = further_problems(lines=text, plan=find_layout(lines=text, wanted=None), line=2)
        >>> [str(problem) for problem in found]
        ['Line 4: the voltage is empty.']

    Source: the project's own rule.
    """
    offset = 0
    for _line in range(line):
        offset = lines.find(b"\n", offset) + 1
        if offset == 0:
            return ()
    found: list[LogError] = []
    marks: set[str] = set()
    last: float | None = None
    try:
        for record in cells.records(lines=lines, offset=offset, line=line + 1):
            if record.offset > offset + within_bytes:
                break
            seen = set(marks)
            try:
                last = _sample(record, plan, seen, last)[0]
                marks = seen
            except LogError as problem:
                found.append(problem)
            if len(found) >= most:
                break
    except LogError as problem:  # a quote that is never closed: nothing behind it can be parted into lines
        found.append(problem)
    return tuple(found)


def _sample(record: cells.Record, plan: Layout, marks: set[str], last_s: float | None) -> list[float]:
    """Return the values of one line in the order of the plan's fields, or say what is wrong with it."""
    row = cells.split(record=record, delimiter=plan.delimiter)
    if len(row) < plan.width or any(row[plan.width :]):
        raise LogError(line=record.line, problem=f"it has {len(row)} cells, but the first line has {plan.width}")
    sample = []
    for field, position, scale in zip(plan.fields, plan.positions, plan.scales, strict=True):
        if plan.clock and field == "time":
            value = _clock(row[position], record.line)
        else:
            value = _value(field, row[position], plan.delimiter, marks, record.line)
        sample.append(_finite(field, value * scale[0] / scale[1], record.line))
    if last_s is not None and sample[0] < last_s:
        raise LogError(line=record.line, problem=f"time runs backwards, from {last_s!r} to {sample[0]!r} s")
    return sample


def _clock(text: str, line: int) -> float:
    """Return the seconds of a clock time."""
    if not text:
        raise LogError(line=line, problem="the time is empty")
    seconds = seconds_of(text=text)
    if seconds is None:
        raise LogError(line=line, problem=f"the time is no date or time of the day: {text!r:.60}")
    return seconds


def _value(field: str, text: str, delimiter: str, marks: set[str], line: int) -> float:
    """Return the number in a cell, and keep in mind which decimal mark it has."""
    if not text:
        raise LogError(line=line, problem=f"the {field} is empty")
    if not cells.looks_like_number(text=text):
        words = "is not finite" if _is_special(text) else "is no number"
        raise LogError(line=line, problem=f"the {field} {words}: {text!r:.60}")
    if delimiter == "," and cells.THOUSANDS.fullmatch(text):
        raise LogError(line=line, problem=f"the {field} could be read in two ways: {text!r:.60}")
    if "." in text:
        marks.add(".")
    if "," in text:
        marks.add(",")
    if len(marks) > 1:
        raise LogError(line=line, problem=f"the {field} has another decimal mark than numbers before it: {text!r:.60}")
    return float(text.replace(",", "."))


def _is_special(text: str) -> bool:
    """Tell the words for infinity and "not a number" from others."""
    return text.lower().lstrip("+-") in ("nan", "inf", "infinity")


def _finite(field: str, value: float, line: int) -> float:
    """Return a value that a float can carry, or refuse it."""
    if not math.isfinite(value):
        raise LogError(line=line, problem=f"the {field} is not finite")
    return value
