"""The careful way through a log: line by line, for logs that aren't plain, and to name the line that is wrong."""

import math
from array import array

import numpy as np
from numpy.typing import NDArray

from diagnostics.calculations.measurement_log import cells
from diagnostics.calculations.measurement_log.errors import LogError
from diagnostics.calculations.measurement_log.layout import FIELDS, Layout


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
    columns = [array("d") for _ in FIELDS]
    marks: set[str] = set()
    expected = plan.line
    for record in cells.records(lines=lines, offset=plan.offset, line=plan.line):
        if record.line != expected:
            raise LogError(line=expected, problem="it is blank, but others follow")
        expected = record.next_line
        row = cells.split(record=record, delimiter=plan.delimiter)
        if len(row) < plan.width or any(row[plan.width :]):
            raise LogError(line=record.line, problem=f"it has {len(row)} cells, but the first line has {plan.width}")
        for field, column, position, scale in zip(FIELDS, columns, plan.positions, plan.scales, strict=True):
            value = _value(field, row[position], plan.delimiter, marks, record.line)
            column.append(_finite(field, value * scale[0] / scale[1], record.line))
        times = columns[0]
        if len(times) > 1 and times[-1] < times[-2]:
            raise LogError(line=record.line, problem=f"time runs backwards, from {times[-2]!r} to {times[-1]!r} s")
    if len(columns[0]) == 0:
        raise LogError(line=plan.line, problem="there is no sample")
    return [np.array(column, dtype=np.float64) for column in columns]


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
