"""How a log is laid out: its first line, what parts its cells, which columns count and in which unit they are."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from diagnostics.calculations.measurement_log import cells
from diagnostics.calculations.measurement_log.errors import LogError

FIELDS = ("time", "voltage", "current")
DELIMITERS = "\t;,"  # in this order: a comma may be a decimal mark, a semicolon part of a comma-separated name
FIELD_NAMES = {"times_s": "time", "volts_v": "voltage", "currents_a": "current"} | {field: field for field in FIELDS}
# Each unit as multiplier and divisor, whole numbers so that a thousandth is exact; SI brochure, 9th edition.
UNITS: dict[str, dict[str, tuple[float, float]]] = {
    "time": {
        **dict.fromkeys(("s", "sec", "secs", "second", "seconds"), (1.0, 1.0)),
        **dict.fromkeys(("ms", "msec", "millisecond", "milliseconds"), (1.0, 1e3)),
        **dict.fromkeys(("us", "\u00b5s", "\u03bcs", "microsecond", "microseconds"), (1.0, 1e6)),
        **dict.fromkeys(("min", "mins", "minute", "minutes"), (60.0, 1.0)),
        **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), (3600.0, 1.0)),
    },
    "voltage": {
        **dict.fromkeys(("v", "volt", "volts"), (1.0, 1.0)),
        **dict.fromkeys(("mv", "millivolt", "millivolts"), (1.0, 1e3)),
        **dict.fromkeys(("kv", "kilovolt", "kilovolts"), (1e3, 1.0)),
    },
    "current": {
        **dict.fromkeys(("a", "amp", "amps", "ampere", "amperes"), (1.0, 1.0)),
        **dict.fromkeys(("ma", "milliamp", "milliamps", "milliampere", "milliamperes"), (1.0, 1e3)),
        **dict.fromkeys(("ka", "kiloampere", "kiloamperes"), (1e3, 1.0)),
    },
}


@dataclass(frozen=True, kw_only=True)
class Layout:
    """How the rest of a log is to be read.

    Fields:
        delimiter [-], text: what parts the cells.
        width [-], scalar: number of cells in the first line.
        positions [-], row: positions of time, voltage and current, from 0.
        scales [-], row of pairs: multiplier and divisor of each, to seconds, volts and amperes.
        offset [bytes], scalar: where the first sample begins.
        line [-], scalar: the physical line of it, from 1.
    Valid range: made by ``find_layout``; nothing is checked here.
    Example:
        >>> find_layout(lines=b"time,voltage,current\\n0,12,1\\n", wanted=None).offset
        21

    Source: the project's own rule.
    """

    delimiter: str
    width: int
    positions: tuple[int, int, int]
    scales: tuple[tuple[float, float], ...]
    offset: int
    line: int


def wanted_columns(*, columns: Mapping[str, str | int]) -> dict[str, str | int]:
    """Return the columns that a caller asks for, by time, voltage and current.

    Formula: none.

    Parameters:
        columns [-], mapping: each field with the header or the position from 0.
    Returns:
        [-] the same with the three names.
    Valid range: the three fields, each once, each with a text or a whole number from 0 up, no two alike.
        ``ValueError`` for anything else.
    Example:
        >>> wanted_columns(columns={"times_s": 0, "voltage": "U", "current": 3})
        {'time': 0, 'voltage': 'U', 'current': 3}

    Source: the project's own rule.
    """
    named = {FIELD_NAMES.get(str(name), ""): place for name, place in columns.items()} if _is_mapping(columns) else {}
    if set(named) != set(FIELDS) or len(columns) != len(FIELDS):
        raise ValueError(f"The argument columns must name time, voltage and current, but it is {columns!r}.")
    for place in named.values():
        whole = isinstance(place, int) and not isinstance(place, bool) and place >= 0
        if not whole and not isinstance(place, str):
            raise ValueError(f"The argument columns must hold headers or positions from 0 up, but it holds {place!r}.")
    if len(set(named.values())) != len(FIELDS):
        raise ValueError(f"The argument columns must name three different columns, but it is {columns!r}.")
    return named


def find_layout(*, lines: bytes, wanted: Mapping[str, str | int] | None) -> Layout:
    """Return how a log is laid out, from its first line that isn't blank.

    Formula: none; see ``read_log``.

    Parameters:
        lines [-], bytes: the whole log as ``to_utf8`` returns it.
        wanted [-], mapping or None: as ``wanted_columns`` returns it.
    Returns:
        [-] the layout.
    Valid range: ``LogError`` for an empty log, fewer than three columns, a missing column, headers of which some begin
        with time, voltage or current and contradict the first three columns, a first line that is half header and half
        sample, and an unknown unit in brackets.
    Example:
        >>> find_layout(lines=b"Current [mA];Time;Voltage\\n", wanted=None).positions
        (1, 2, 0)

    Source: the project's own rule.
    """
    first = next(cells.records(lines=lines, offset=0, line=1), None)
    if first is None:
        raise LogError(line=1, problem="the log is empty")
    delimiter = _delimiter(first.text)
    header = cells.split(record=first, delimiter=delimiter)
    if len(header) < len(FIELDS):
        raise LogError(line=first.line, problem="it has fewer than three columns")
    positions = _by_name(header, first.line) if wanted is None else _as_wanted(header, wanted, first.line)
    numbers = [cells.looks_like_number(text=header[position]) for position in positions]
    headless = all(numbers)
    if any(numbers) and not headless:
        raise LogError(line=first.line, problem="it is neither a header nor a sample: some of its cells are numbers")
    named = zip(FIELDS, positions, strict=True)
    units = [(1.0, 1.0) if headless else _scale(field, header[at], first.line) for field, at in named]
    return Layout(
        delimiter=delimiter,
        width=len(header),
        positions=positions,
        scales=tuple(units),
        offset=first.offset if headless else first.end,
        line=first.line if headless else first.next_line,
    )


def _is_mapping(columns: object) -> bool:
    """Tell a mapping from what else a caller may have given."""
    return isinstance(columns, Mapping)


def _delimiter(header: str) -> str:
    """Return the first delimiter that parts the first line into three cells or more, whatever stands in quotes."""
    bare = re.sub(r'"[^"]*"', "", header)
    return next((mark for mark in DELIMITERS if bare.count(mark) >= len(FIELDS) - 1), ",")


def _by_name(header: list[str], line: int) -> tuple[int, int, int]:
    """Return the columns whose headers begin with the fields' names, else the first three."""
    names = [text.strip().casefold() for text in header]
    found = [next((at for at, name in enumerate(names) if name.startswith(field)), None) for field in FIELDS]
    if None not in found:
        return _three(found)
    for place, at in enumerate(found):
        if at is not None and at != place:
            raise LogError(
                line=line,
                problem=f"column {at + 1} begins with {FIELDS[place]}, but no header begins with "
                f"{' or '.join(field for field, other in zip(FIELDS, found, strict=True) if other is None)}",
            )
    return 0, 1, 2


def _as_wanted(header: list[str], wanted: Mapping[str, str | int], line: int) -> tuple[int, int, int]:
    """Return the columns that the caller named by header or position."""
    found = []
    for field in FIELDS:
        place = wanted[field]
        at = _place_of(header, place) if isinstance(place, str) else place
        if at is None or at >= len(header):
            raise LogError(line=line, problem=f"there is no column {place!r} for the {field}")
        found.append(at)
    if len(set(found)) != len(FIELDS):
        raise LogError(line=line, problem="two of the columns that were named are the same")
    return _three(found)


def _place_of(header: list[str], name: str) -> int | None:
    """Return the first header that is the name: exactly, then in any case, then without its unit in brackets."""
    ways = (str.strip, lambda text: text.strip().casefold(), lambda text: _without_brackets(text).casefold())
    for way in ways:
        texts = [way(text) for text in header]
        if way(name) in texts:
            return texts.index(way(name))
    return None


def _three(found: list[int] | list[int | None]) -> tuple[int, int, int]:
    """Return three positions as what they are."""
    time, voltage, current = (int(at) for at in found if at is not None)
    return time, voltage, current


def _without_brackets(text: str) -> str:
    """Return a header without what stands in brackets at its end."""
    return re.sub(r"[\[(][^\[\]()]*[\])]\s*$", "", text).strip()


def _scale(field: str, header: str, line: int) -> tuple[float, float]:
    """Return multiplier and divisor of the unit in a header: in brackets it has to be known, at the end it may be."""
    units = UNITS[field]
    bracketed = [unit.strip() for unit in re.findall(r"[\[(]([^\[\]()]*)[\])]", header)]
    if bracketed:
        known = [units[unit.casefold()] for unit in bracketed if unit.casefold() in units]
        if not known:
            raise LogError(line=line, problem=f"{bracketed[-1]!r} is no unit of {field} that is known here")
        return known[-1]
    words = re.split(r"[\s_,/.-]+", header.strip().casefold())
    return units.get(words[-1], (1.0, 1.0)) if len(words) > 1 else (1.0, 1.0)
