"""A first look at a logger's file: its first lines in cells, where the table begins, and which column is what."""

import re
from dataclasses import dataclass

from diagnostics.calculations.measurement_log import cells, encoding
from diagnostics.calculations.measurement_log.errors import LogError
from diagnostics.calculations.measurement_log.layout import DELIMITERS, FIELDS, OPTIONAL, UNITS
from diagnostics.calculations.measurement_log.stamps import seconds_of

LINES = 60  # of the head, among which the table has to begin
# How loggers of the network's countries name their columns; whole words, in any case.
NAMES = {
    "time": ("time", "timestamp", "date/time", "datetime", "zeit", "uhrzeit", "temps", "heure", "tijd", "t"),
    "voltage": ("voltage", "volts", "volt", "spannung", "tension", "spanning", "u", "v", "ubat"),
    "current": ("current", "amps", "strom", "courant", "stroom", "i", "a", "ibat"),
    "temperature": ("temperature", "temp", "temperatur", "température", "temperatuur"),
}


@dataclass(frozen=True, kw_only=True)
class FirstLook:
    """What the first lines of a file show.

    Fields:
        lines [-], row of pairs: physical line from 1, and its cells.
        header_line [-], scalar: the line at which the table seems to begin.
        header [-], row of texts: its cells.
        sample [-], row of texts: the cells of the first line after it that holds numbers.
        positions [-], mapping: time, voltage, current, temperature with the column that seems to hold each, from 0.
        units [-], mapping: each of these with the unit that its header or its cell tells; "clock" for clock times.
    Valid range: made by ``first_look``; nothing is checked here.
    Example:
        >>> first_look(head=b"time,voltage,current\\n0,12,1\\n").header_line
        1

    Source: the project's own rule.
    """

    lines: tuple[tuple[int, tuple[str, ...]], ...]
    header_line: int
    header: tuple[str, ...]
    sample: tuple[str, ...]
    positions: dict[str, int]
    units: dict[str, str]


def first_look(*, head: bytes, header_line: int | None = None) -> FirstLook:
    """Return what the beginning of a file shows, as a guess that a person looks over.

    Formula: the table begins at the first line with three cells or more whose next line has as many, three of them
    numbers or clock times; a column is what its header's first word names.

    Parameters:
        head [-], bytes: the file, or its beginning up to a line end.
        header_line [-], scalar or None: the line at which the table begins, where a person has said so.
    Returns:
        [-] the guess.
    Valid range: ``LogError`` for an empty file, one that holds a NUL, and one without any table of three columns.
    Example:
        >>> look = first_look(head=b"Logger 7\\nZeit;Spannung [V];Strom [mA]\\n00:00:01;12,5;100\\n")
        >>> look.header_line, look.positions, look.units
        (2, {'time': 0, 'voltage': 1, 'current': 2}, {'time': 'clock', 'voltage': 'V', 'current': 'mA'})

    Source: the project's own rule.
    """
    lines = encoding.to_utf8(data=head)
    records = []
    for record in cells.records(lines=lines, offset=0, line=1):
        records.append(record)
        if len(records) == LINES:
            break
    if not records:
        raise LogError(line=1, problem="the file is empty")
    delimiter, at = _table(records, header_line)
    split = [(record.line, tuple(cells.split(record=record, delimiter=delimiter))) for record in records]
    header = split[at][1]
    sample = next((row for _line, row in split[at:] if _numbers(row) >= len(FIELDS)), header)
    positions = _positions(header)
    return FirstLook(
        lines=tuple(split[max(0, at - 3) : at + 7]),
        header_line=split[at][0],
        header=header,
        sample=sample,
        positions=positions,
        units={field: _unit(field, header[where], sample, where) for field, where in positions.items()},
    )


def _table(records: list[cells.Record], wanted: int | None) -> tuple[str, int]:
    """Return what parts the cells, and the position of the line at which the table begins."""
    for delimiter in DELIMITERS:
        rows = [cells.split(record=record, delimiter=delimiter) for record in records]
        for at, row in enumerate(rows):
            if len(row) < len(FIELDS) or (wanted is not None and records[at].line != wanted):
                continue
            following = rows[at + 1] if at + 1 < len(rows) else row
            if wanted is not None or (len(following) >= len(FIELDS) and _numbers(tuple(following)) >= len(FIELDS)):
                return delimiter, at
    raise LogError(line=wanted or records[0].line, problem="no table of three columns with numbers begins here")


def _numbers(row: tuple[str, ...]) -> int:
    """Return how many cells are numbers or clock times."""
    return sum(cells.looks_like_number(text=text) or seconds_of(text=text) is not None for text in row)


def _positions(header: tuple[str, ...]) -> dict[str, int]:
    """Return the columns by their names; what no name tells takes the first column that is left."""
    words = [re.split(r"[\s_\[(]+", text.strip().casefold())[0] for text in header]
    found: dict[str, int] = {}
    for field in (*FIELDS, *OPTIONAL):
        at = next((at for at, word in enumerate(words) if word in NAMES[field] and at not in found.values()), None)
        if at is None and field in FIELDS:
            at = next((at for at in range(len(header)) if at not in found.values() and not _claimed(words[at])), None)
            at = next(at for at in range(len(header)) if at not in found.values()) if at is None else at
        if at is not None:
            found[field] = at
    return found


def _claimed(word: str) -> bool:
    """Tell whether a header's word names a field, so that no other takes its column."""
    return any(word in names for names in NAMES.values())


def _unit(field: str, header: str, sample: tuple[str, ...], where: int) -> str:
    """Return the unit that a header tells, as it is written; "clock" where the sample is a clock time."""
    if field == "time" and where < len(sample) and seconds_of(text=sample[where]) is not None:
        return "clock"
    words = re.findall(r"[\[(]([^\[\]()]*)[\])]", header) + re.split(r"[\s_,/.-]+", header)[1:]
    return next((word.strip() for word in words if word.strip().casefold() in UNITS[field]), "")
