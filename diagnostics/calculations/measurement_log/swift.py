"""The fast way through a clean log: digits become numbers for a whole piece of the file at once.

Each piece is half a megabyte of whole lines. Where it holds nothing but plain decimals ("-12.345"), eight digits at a
time are turned into a number by three multiplications on the eight bytes they stand in; where it holds more (exponents,
blanks, text in other columns) numpy reads it; where that fails too, the whole log goes the careful way.
"""

import io

import numpy as np
from numpy.typing import NDArray

from diagnostics.calculations.measurement_log.layout import Layout
from diagnostics.calculations.measurement_log.stamps import take_out

PIECE_BYTES = 1 << 19  # of 64 kB to 4 MB the fastest, since a piece and what is made of it stay in the cache
NEWLINE, QUOTE, COMMA, MINUS, POINT, NINE = (ord(mark) for mark in '\n",-.9')
ZERO = 48  # ord("0"): of the characters in a plain log only the digits are not below it
MARGIN_BYTES = 16  # before the first cell, so that its sixteen bytes can be looked at as well
LONGEST = 15  # digits that a float always carries exactly, so that one division rounds as float() does
POWERS_OF_TEN = np.array([float(10**exponent) for exponent in range(LONGEST + 1)])

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]


def read(*, lines: bytes, plan: Layout) -> list[Floats] | None:
    """Return times, volts and currents of a clean log, or None where the careful way has to be gone.

    Formula: value = digits / 10^decimals x multiplier / divisor of its unit, rounded as Python's ``float`` does.

    Parameters:
        lines [-], bytes: the whole log as ``to_utf8`` returns it.
        plan [-], Layout: how it is laid out.
    Returns:
        [s, V, A] three arrays of one length, or None.
    Valid range: any log; what is not clean (odd quotes, other than ASCII, mixed decimal marks, blank lines between
        others, an unequal number of cells, a value that isn't finite, time that runs backwards) gives None.
    Example:
        >>> from diagnostics.calculations.measurement_log.layout import find_layout
        >>> text = b"time,voltage,current\\n0,12.5,-1\\n"
        >>> [column.tolist() for column in read(lines=text, plan=find_layout(lines=text, wanted=None))]
        [[0.0], [12.5], [-1.0]]

    Source: Lemire, Number parsing at a gigabyte per second, Software: Practice and Experience 51 (2021) 1700, for the
        three multiplications, from memory.
    """
    stop = end_of_samples(lines=lines, offset=plan.offset)
    if stop == plan.offset or mixed_marks(lines=lines, plan=plan, stop=stop):
        return None
    pieces: list[list[Floats]] = []
    start = plan.offset
    while start < stop:
        end = end_of_piece(lines=lines, start=start, stop=stop)
        values = read_piece(piece=lines[start:end], plan=plan, last_s=pieces[-1][0][-1] if pieces else None)
        if values is None:
            return None
        pieces.append(values)
        start = end
    return [np.concatenate([piece[column] for piece in pieces]) for column in range(len(plan.fields))]


def end_of_piece(*, lines: bytes, start: int, stop: int) -> int:
    """Return where a piece of half a megabyte of whole lines ends.

    Formula: none.

    Parameters:
        lines [-], bytes: the whole log.
        start [bytes], scalar: where the piece begins.
        stop [bytes], scalar: where the samples end.
    Returns:
        [bytes] the place after its last line feed, at most the stop.
    Valid range: a start below the stop.
    Example:
        >>> end_of_piece(lines=b"1,2,3", start=0, stop=5)
        5

    Source: the project's own rule.
    """
    return min(lines.find(b"\n", start + PIECE_BYTES) + 1 or stop, stop)


def mixed_marks(*, lines: bytes, plan: Layout, stop: int) -> bool:
    """Tell whether point and comma both stand among the samples, so that which is the decimal mark has to be looked at.

    Formula: none.

    Parameters:
        lines [-], bytes: the whole log.
        plan [-], Layout: how it is laid out.
        stop [bytes], scalar: where the samples end.
    Returns:
        [-] True where a semicolon or tab parts cells and both marks occur.
    Valid range: any log.
    Example:
        >>> from diagnostics.calculations.measurement_log.layout import find_layout
        >>> text = b"time;voltage;current\\n0;12,5;1.5\\n"
        >>> mixed_marks(lines=text, plan=find_layout(lines=text, wanted=None), stop=len(text))
        True

    Source: the project's own rule.
    """
    return plan.delimiter != "," and min(lines.find(mark, plan.offset, stop) for mark in (b",", b".")) >= 0


def read_piece(*, piece: bytes, plan: Layout, last_s: float | None) -> list[Floats] | None:
    """Return the columns of a piece of whole lines, or None where it has to be read with care.

    Formula: as ``read``.

    Parameters:
        piece [-], bytes: whole lines, the last with or without its line feed.
        plan [-], Layout: how the log is laid out.
        last_s [s], scalar or None: the time of the sample before, which this one's must not run behind.
    Returns:
        [s, V, A] an array for each field of the plan, or None.
    Valid range: any piece; see ``read``.
    Example:
        >>> from diagnostics.calculations.measurement_log.layout import find_layout
        >>> plan = find_layout(lines=b"time;voltage;current\\n", wanted=None)
        >>> [column.tolist() for column in read_piece(piece=b"0;12,5;1\\n", plan=plan, last_s=None)]
        [[0.0], [12.5], [1.0]]

    Source: as ``read``.
    """
    # What parts cells becomes a comma, and a decimal comma a point; between commas nothing has to be exchanged.
    ordered = piece.removesuffix(b"\n") + b"\n"
    if plan.delimiter != ",":
        ordered = ordered.translate(bytes.maketrans(b"," + plan.delimiter.encode(), b".,"))
    bare = _unquoted(ordered)
    taken = None
    if bare is not None and plan.clock:
        taken = take_out(piece=bare, width=plan.width, position=plan.positions[0])
        bare = None if taken is None else taken[1]
    values = None if bare is None else _plain(bare, plan) or _numpy(bare, plan)
    if values is None:
        return None
    if taken is not None:
        values[0] = taken[0]
    for column, (multiplier, divisor) in enumerate(plan.scales):
        if multiplier != divisor:
            values[column] = values[column] * multiplier / divisor
    times = values[0]
    in_order = bool((times[1:] >= times[:-1]).all()) and (last_s is None or times[0] >= last_s)
    return values if in_order and all(bool(np.isfinite(column).all()) for column in values) else None


def end_of_samples(*, lines: bytes, offset: int) -> int:
    """Return where the last sample ends, without the blanks and blank lines after it.

    Formula: none.

    Parameters:
        lines [-], bytes: the whole log.
        offset [bytes], scalar: where the first sample begins.
    Returns:
        [bytes] the place after the last sample; the offset where there is none.
    Valid range: any log.
    Example:
        >>> end_of_samples(lines=b"1,2,3\\n \\n", offset=0)
        5

    Source: the project's own rule.
    """
    stop = len(lines)
    while stop > offset:
        start = max(offset, stop - PIECE_BYTES)
        kept = len(lines[start:stop].rstrip(b" \t\n"))
        if kept > 0:
            return start + kept
        stop = start
    return offset


def _unquoted(piece: bytes) -> bytes | None:
    """Return a piece without its quotes if each pair of them encloses one whole cell, else None."""
    if b'"' not in piece:
        return piece
    raw = np.frombuffer(piece, dtype=np.uint8)
    quotes = np.flatnonzero(raw == QUOTE)
    opening, closing = quotes[::2], quotes[1::2]
    if len(opening) != len(closing):
        return None
    edges = np.flatnonzero((raw == COMMA) | (raw == NEWLINE))
    following = np.searchsorted(edges, opening)  # the first edge after a quote opens has to come right after it closes
    whole = (edges[following] == closing + 1) & (np.append(-1, edges)[following] + 1 == opening)
    return piece.replace(b'"', b"") if bool(whole.all()) else None


def _edges(kinds: NDArray[np.uint8], width: int) -> bool:
    """Tell whether commas and line feeds follow each other as in lines of equal width."""
    if len(kinds) % width != 0:
        return False
    table = kinds.reshape(-1, width)
    return bool((table[:, -1] == NEWLINE).all() and (table[:, :-1] == COMMA).all())


def _plain(piece: bytes, plan: Layout) -> list[Floats] | None:
    """Return the columns of a piece that holds plain decimals only, else None."""
    raw = np.frombuffer(piece, dtype=np.uint8)
    if raw.max() > NINE:
        return None
    marks = np.flatnonzero(raw < ZERO)
    kinds = raw[marks]
    edges = np.flatnonzero((kinds == COMMA) | (kinds == NEWLINE))  # which of the marks end a cell
    if not _edges(kinds[edges], plan.width):
        return None
    ends = marks[edges]
    before = edges - 1
    pointed = kinds[before] == POINT  # before the very first mark stands the last, which is a line feed
    negative = raw[np.append(0, ends[:-1] + 1)] == MINUS
    found = (int(np.count_nonzero(pointed)), int(np.count_nonzero(negative)))
    if found != (piece.count(b"."), piece.count(b"-")) or len(marks) != len(edges) + sum(found):
        return None  # a second point, a minus inside a cell, or a mark of another kind
    decimals = np.where(pointed, ends - marks[before] - 1, 0)
    bare_ends = ends - edges + np.arange(len(edges))  # where cells end once points and minuses are gone
    digits = np.diff(bare_ends, prepend=-1) - 1
    if digits.min() < 1 or digits.max() > LONGEST:
        return None
    bare = bytes(MARGIN_BYTES) + piece.translate(None, b".-")
    columns = [slice(position, None, plan.width) for position in plan.positions]
    bare_ends += MARGIN_BYTES
    return [_numbers(bare, bare_ends[one], digits[one], decimals[one], negative[one]) for one in columns]


def _numbers(bare: bytes, ends: Whole, digits: Whole, decimals: Whole, negative: NDArray[np.bool_]) -> Floats:
    """Return the numbers of one column, given where their digits end, how many there are and how many are decimals."""
    whole = _eight_digits(bare, ends, np.minimum(digits, 8))
    longer = np.flatnonzero(digits > 8)
    whole[longer] += _eight_digits(bare, ends[longer] - 8, digits[longer] - 8) * np.uint64(10**8)
    values = whole.astype(np.float64)
    values /= POWERS_OF_TEN[decimals]
    return np.negative(values, out=values, where=negative)


def _eight_digits(bare: bytes, ends: Whole, digits: Whole) -> NDArray[np.uint64]:
    """Return the whole numbers that up to eight digits before each end make: pairs first, then fours, then eights."""
    windows = np.ndarray((len(bare) - 7,), dtype="<u8", buffer=bare, strides=(1,))
    eight = windows[ends - 8].astype(np.uint64, copy=False)
    strange = (8 - digits).astype(np.uint64) * np.uint64(8)  # bits of what stands before the first digit
    eight >>= strange
    eight <<= strange
    for mask, factor, shift in (
        (0x0F0F0F0F0F0F0F0F, 10 << 8 | 1, 8),
        (0x00FF00FF00FF00FF, 100 << 16 | 1, 16),
        (0x0000FFFF0000FFFF, 10_000 << 32 | 1, 32),
    ):
        eight &= np.uint64(mask)
        eight *= np.uint64(factor)
        eight >>= np.uint64(shift)
    return eight


def _numpy(piece: bytes, plan: Layout) -> list[Floats] | None:
    """Return the columns of a piece as numpy reads them, else None."""
    raw = np.frombuffer(piece, dtype=np.uint8)
    if not _edges(raw[(raw == COMMA) | (raw == NEWLINE)], plan.width):
        return None
    try:
        table = np.loadtxt(
            io.BytesIO(piece), delimiter=",", comments=None, usecols=plan.positions, ndmin=2, encoding="ascii"
        )
    except ValueError:
        return None
    return [np.ascontiguousarray(column) for column in table.T]
