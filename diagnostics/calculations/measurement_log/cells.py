"""Lines, cells and numbers of a log, one by one and with care for quotes."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from diagnostics.calculations.measurement_log.errors import LogError

NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE][+-]?[0-9]+)?")
THOUSANDS = re.compile(r"[+-]?[0-9]{1,3}(?:,[0-9]{3})+")  # in quotes between commas: one number or another
QUOTE = '"'


@dataclass(frozen=True, kw_only=True)
class Record:
    """One line of a log, or several where a quoted cell holds line ends.

    Fields:
        text [-], text: the line without its end.
        line [-], scalar: its physical line, from 1.
        next_line [-], scalar: the physical line after it.
        offset [bytes], scalar: where it begins.
        end [bytes], scalar: where the next one begins.
    Valid range: made by ``records``; nothing is checked here.
    Example:
        >>> [record.text for record in records(lines=b"a,b\\nc,d", offset=0, line=1)]
        ['a,b', 'c,d']

    Source: RFC 4180.
    """

    text: str
    line: int
    next_line: int
    offset: int
    end: int


def records(*, lines: bytes, offset: int, line: int) -> Iterator[Record]:
    """Yield the lines of a log that aren't blank, joined where a quote stays open at the end of one.

    Formula: none.

    Parameters:
        lines [-], bytes: the whole log as ``to_utf8`` returns it.
        offset [bytes], scalar: where to begin.
        line [-], scalar: the physical line of it, from 1.
    Returns:
        [-] the lines, one by one.
    Valid range: ``LogError`` for a quote that is still open at the end of the log.
    Example:
        >>> [(record.text, record.line) for record in records(lines=b'a\\n\\n"b\\nc"\\nd', offset=0, line=1)]
        [('a', 1), ('"b\\nc"', 3), ('d', 5)]

    Source: RFC 4180.
    """
    while offset < len(lines):
        end, after, quotes = offset, line, 0
        while end == offset or quotes % 2 == 1:
            if end >= len(lines):
                raise LogError(line=line, problem="a quote is opened and never closed")
            found = lines.find(b"\n", end)
            stop = len(lines) if found < 0 else found + 1
            quotes += lines.count(b'"', end, stop)
            end, after = stop, after + 1
        text = lines[offset:end].decode().removesuffix("\n")
        if text.strip():
            yield Record(text=text, line=line, next_line=after, offset=offset, end=end)
        offset, line = end, after


def split(*, record: Record, delimiter: str) -> list[str]:
    """Return the cells of a line.

    Formula: none. A quote counts at the beginning of a cell only; within quotes two of them are one.

    Parameters:
        record [-], Record: the line.
        delimiter [-], text: what parts its cells.
    Returns:
        [-] what each of them holds, without quotes and without the blanks around it; at least one.
    Valid range: ``LogError`` for anything but blanks between a closing quote and the delimiter, and for an open quote.
    Example:
        >>> line = Record(text='1, "2,5" ,', line=1, next_line=2, offset=0, end=10)
        >>> split(record=line, delimiter=",")
        ['1', '2,5', '']

    Source: RFC 4180.
    """
    if QUOTE not in record.text:
        return [text.strip() for text in record.text.split(delimiter)]
    pattern = _cell_pattern(delimiter)
    cells: list[str] = []
    at = 0
    while True:
        match = pattern.match(record.text, at)
        if match is None:
            raise LogError(line=record.line, problem=f"cell {len(cells) + 1} has a quote that isn't closed at its end")
        text = match[2] if match[1] is None else match[1].replace('""', QUOTE)
        cells.append(text.strip())
        at = match.end() + 1
        if match.end() >= len(record.text):
            return cells


def looks_like_number(*, text: str) -> bool:
    """Tell whether a cell is written as a number.

    Formula: none.

    Parameters:
        text [-], text: what the cell holds, without the blanks around it.
    Returns:
        [-] True for digits with at most one decimal point or comma, a sign before and an exponent after.
    Valid range: any text.
    Example:
        >>> looks_like_number(text="-12,5"), looks_like_number(text="1e-3"), looks_like_number(text="1_000")
        (True, True, False)

    Source: the project's own rule.
    """
    return NUMBER.fullmatch(text) is not None


@cache
def _cell_pattern(delimiter: str) -> re.Pattern[str]:
    """Return what one cell looks like: quoted, with blanks around it, or else anything up to the delimiter."""
    blanks = "[^\\S\\t]*" if delimiter == "\t" else "\\s*"
    mark = re.escape(delimiter)
    return re.compile(rf'{blanks}"((?:[^"]|"")*)"{blanks}(?={mark}|\Z)|(?!{blanks}")([^{mark}]*)')
