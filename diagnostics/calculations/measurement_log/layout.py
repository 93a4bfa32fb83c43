"""How a log is laid out: its first line, what parts its cells, which columns count and in which unit they are."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from diagnostics.calculations.measurement_log import cells
from diagnostics.calculations.measurement_log.errors import LogError
from diagnostics.calculations.measurement_log.stamps import seconds_of

FIELDS = ("time", "voltage", "current")
OPTIONAL = ("temperature",)
CLOCK = "clock"  # in place of a unit of time: dates and times of the day
DELIMITERS = "\t;,"  # in this order: a comma may be a decimal mark, a semicolon part of a comma-separated name
FIELD_NAMES = {"times_s": "time", "volts_v": "voltage", "currents_a": "current", "temperatures_c": "temperature"} | {
    field: field for field in (*FIELDS, *OPTIONAL)
}
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
    "temperature": dict.fromkeys(("c", "\u00b0c", "\u2103", "degc", "celsius"), (1.0, 1.0)),
}


@dataclass(frozen=True, kw_only=True)
class Layout:
    """How the rest of a log is to be read.

    Fields:
        delimiter [-], text: what parts the cells.
        width [-], scalar: number of cells in the first line.
        fields [-], row of texts: time, voltage, current, and temperature where it was asked for.
        positions [-], row: positions of these, from 0.
        scales [-], row of pairs: multiplier and divisor of each, to seconds, volts, amperes and degrees Celsius.
        clock [-], truth: the times are written as a clock shows them.
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
    fields: tuple[str, ...]
    positions: tuple[int, ...]
    scales: tuple[tuple[float, float], ...]
    clock: bool
    offset: int
    line: int


def wanted_columns(*, columns: Mapping[str, str | int]) -> dict[str, str | int]:
    """Return the columns that a caller asks for, by time, voltage and current.

    Formula: none.

    Parameters:
        columns [-], mapping: each field with the header or the position from 0.
    Returns:
        [-] the same with the plain names.
    Valid range: the three fields, each once, temperature as well where wanted, each with a text or a whole number from
        0 up, no two alike.
        ``ValueError`` for anything else.
    Example:
        >>> wanted_columns(columns={"times_s": 0, "voltage": "U", "current": 3})
        {'time': 0, 'voltage': 'U', 'current': 3}

    Source: the project's own rule.
    """
    named = {FIELD_NAMES.get(str(name), ""): place for name, place in columns.items()} if _is_mapping(columns) else {}
    if set(named) - set(OPTIONAL) != set(FIELDS) or len(columns) != len(named):
        raise ValueError(f"The argument columns must name time, voltage and current, but it is {columns!r}.")
    for place in named.values():
        whole = isinstance(place, int) and not isinstance(place, bool) and place >= 0
        if not whole and not isinstance(place, str):
            raise ValueError(f"The argument columns must hold headers or positions from 0 up, but it holds {place!r}.")
    if len(set(named.values())) != len(named):
        raise ValueError(f"The argument columns must name three different columns, but it is {columns!r}.")
    return named


def find_layout(
    *,
    lines: bytes,
    wanted: Mapping[str, str | int] | None,
    units: Mapping[str, str] | None = None,
    first_line: int = 1,
) -> Layout:
    """Return how a log is laid out, from its first line that isn't blank.

    Formula: none; see ``read_log``.

    Parameters:
        lines [-], bytes: the whole log as ``to_utf8`` returns it.
        wanted [-], mapping or None: as ``wanted_columns`` returns it.
        units [-], mapping or None: a unit for each field that goes before the one in its header; "clock" for times that
            are written as a clock shows them.
        first_line [-], scalar: the physical line at which the table begins, from 1; what stands above isn't read.
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
    start = _start_of(lines, first_line)
    first = next(cells.records(lines=lines, offset=start, line=first_line), None)
    if first is None:
        raise LogError(line=first_line, problem="the log is empty")
    delimiter = _delimiter(first.text)
    header = cells.split(record=first, delimiter=delimiter)
    if len(header) < len(FIELDS):
        raise LogError(line=first.line, problem="it has fewer than three columns")
    given = units or {}
    fields = FIELDS if wanted is None else tuple(field for field in (*FIELDS, *OPTIONAL) if field in wanted)
    positions = _by_name(header, first.line) if wanted is None else _as_wanted(header, wanted, fields, first.line)
    clock = given.get("time") == CLOCK
    numbers = [
        cells.looks_like_number(text=header[at])
        or (clock and field == "time" and seconds_of(text=header[at]) is not None)
        for field, at in zip(fields, positions, strict=True)
    ]
    headless = all(numbers)
    if any(numbers) and not headless:
        raise LogError(line=first.line, problem="it is neither a header nor a sample: some of its cells are numbers")
    scales = [
        _scale_of(field, header[at], headless, given, first.line) for field, at in zip(fields, positions, strict=True)
    ]
    return Layout(
        delimiter=delimiter,
        width=len(header),
        fields=fields,
        positions=positions,
        scales=tuple(scales),
        clock=clock,
        offset=first.offset if headless else first.end,
        line=first.line if headless else first.next_line,
    )


def _start_of(lines: bytes, first_line: int) -> int:
    """Return where a physical line begins."""
    offset = 0
    for _line in range(1, first_line):
        found = lines.find(b"\n", offset)
        if found < 0:
            raise LogError(line=first_line, problem="the log is empty from here on")
        offset = found + 1
    return offset


def _scale_of(field: str, header: str, headless: bool, given: Mapping[str, str], line: int) -> tuple[float, float]:
    """Return multiplier and divisor of a field: of the unit that was given for it, else of the one in its header."""
    unit = given.get(field, "")
    if field == "time" and unit == CLOCK:
        return (1.0, 1.0)
    if unit:
        known = UNITS[field].get(unit.casefold())
        if known is None:
            raise ValueError(f"The argument units must hold known units, but {unit!r} is none of {field}.")
        return known
    return (1.0, 1.0) if headless else _scale(field, header, line)


def _is_mapping(columns: object) -> bool:
    """Tell a mapping from what else a caller may have given."""
    return isinstance(columns, Mapping)


def _delimiter(header: str) -> str:
    """Return the first delimiter that parts the first line into three cells or more, whatever stands in quotes."""
    bare = re.sub(r'"[^"]*"', "", header)
    return next((mark for mark in DELIMITERS if bare.count(mark) >= len(FIELDS) - 1), ",")


def _by_name(header: list[str], line: int) -> tuple[int, ...]:
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


def _as_wanted(
    header: list[str], wanted: Mapping[str, str | int], fields: tuple[str, ...], line: int
) -> tuple[int, ...]:
    """Return the columns that the caller named by header or position."""
    found = []
    for field in fields:
        place = wanted[field]
        at = _place_of(header, place) if isinstance(place, str) else place
        if at is None or at >= len(header):
            raise LogError(line=line, problem=f"there is no column {place!r} for the {field}")
        found.append(at)
    if len(set(found)) != len(fields):
        raise LogError(line=line, problem="two of the columns that were named are the same")
    return tuple(found)


def _place_of(header: list[str], name: str) -> int | None:
    """Return the first header that is the name: exactly, then in any case, then without its unit in brackets."""
    ways = (str.strip, lambda text: text.strip().casefold(), lambda text: _without_brackets(text).casefold())
    for way in ways:
        texts = [way(text) for text in header]
        if way(name) in texts:
            return texts.index(way(name))
    return None


def _three(found: list[int | None]) -> tuple[int, ...]:
    """Return three positions as what they are."""
    return tuple(at for at in found if at is not None)


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
