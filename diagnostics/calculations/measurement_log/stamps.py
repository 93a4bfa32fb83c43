"""Times that a logger writes as a clock shows them: dates and times of the day become seconds."""

import datetime
import re

import numpy as np
from numpy.typing import NDArray

DATED = re.compile(r"(\d{4})-(\d\d)-(\d\d)|(\d\d)\.(\d\d)\.(\d{4})")
STAMP = re.compile(
    r"(?:(?P<date>\d{4}-\d\d-\d\d|\d\d\.\d\d\.\d{4})[T ])?(?P<h>\d\d):(?P<m>\d\d):(?P<s>\d\d)(?:[.,](?P<f>\d{1,9}))?Z?"
)
SECONDS_PER_DAY = 86_400.0  # SI brochure, 9th edition, table 8
EPOCH = datetime.date(1970, 1, 1)
TENS_AND_ONES = np.array([10.0, 1.0])
ZERO, COLON, BLANK, POINT = (ord(mark) for mark in "0: .")


def seconds_of(*, text: str) -> float | None:
    """Return the seconds that a clock time stands for.

    Formula: day x 86 400 + hours x 3600 + minutes x 60 + seconds; the day counts from 1970-01-01, and is 0 without a
    date. Zones other than a closing Z aren't understood: a log is read by its own clock.

    Parameters:
        text [-], text: for instance "2026-11-25 13:51:29.5", "25.11.2026 13:51:29" or "13:51:29".
    Returns:
        [s] seconds, or None for what is no clock time.
    Valid range: any text.
    Example:
        >>> seconds_of(text="1970-01-02T00:00:01.5"), seconds_of(text="00:01:00"), seconds_of(text="24:00:00")
        (86401.5, 60.0, None)

    Source: ISO 8601-1:2019 for dates and times, from memory.
    """
    match = STAMP.fullmatch(text)
    if match is None:
        return None
    hours, minutes, seconds = (int(match[name]) for name in "hms")
    if hours > 23 or minutes > 59 or seconds > 59:
        return None
    day = _day(match["date"]) if match["date"] else 0
    if day is None:
        return None
    whole = day * SECONDS_PER_DAY + hours * 3600 + minutes * 60 + seconds
    return whole + (int(match["f"]) / 10 ** len(match["f"]) if match["f"] else 0.0)


def _day(text: str) -> int | None:
    """Return the day from 1970-01-01, or None for a date that there is not."""
    match = DATED.fullmatch(text)
    if match is None:
        return None
    year, month, day = (match[1], match[2], match[3]) if match[1] else (match[6], match[5], match[4])
    try:
        return (datetime.date(int(year), int(month), int(day)) - EPOCH).days
    except ValueError:
        return None


def take_out(*, piece: bytes, width: int, position: int) -> tuple[NDArray[np.float64], bytes] | None:
    """Return the clock times of a piece as seconds, and the piece with 0 in their place.

    Formula: as ``seconds_of``, for a whole column at a time.

    Parameters:
        piece [-], bytes: whole lines, cells parted by commas, without quotes.
        width [-], scalar: cells in each line.
        position [-], scalar: which of them holds the time, from 0.
    Returns:
        [s] seconds and the rest; None where cells aren't all of one length and form, so that each has to be looked at.
    Valid range: any piece that ends with a line feed.
    Example:
        >>> take_out(piece=b"00:00:01,5,6\\n00:00:02,7,8\\n", width=3, position=0)
        (array([1., 2.]), b'0,5,6\\n0,7,8\\n')

    Source: the project's own rule.
    """
    raw = np.frombuffer(piece, dtype=np.uint8)
    edges = np.flatnonzero((raw == ord(",")) | (raw == ord("\n")))
    if len(edges) % width != 0:
        return None
    before = np.append(-1, edges[:-1])
    starts, lengths = before[position::width] + 1, edges[position::width] - before[position::width] - 1
    length = int(lengths[0])
    if length < 8 or bool((lengths != length).any()):
        return None
    cells = raw[starts[:, None] + np.arange(length)]
    seconds = _column_seconds(cells)
    if seconds is None:
        return None
    kept = np.ones(len(raw), dtype=bool)
    kept[(starts[:, None] + np.arange(1, length)).ravel()] = False
    rest = raw.copy()
    rest[starts] = ZERO
    return seconds, rest[kept].tobytes()


def _column_seconds(cells: NDArray[np.uint8]) -> NDArray[np.float64] | None:
    """Return the seconds of cells of one length, or None where their form differs or one is no time."""
    length = cells.shape[1]
    clock = 11 if length >= 19 else 0  # where the time of the day begins
    parts = [cells[:, clock + at : clock + at + 2] for at in (0, 3, 6)]
    colons = cells[:, [clock + 2, clock + 5]]
    fraction = cells[:, clock + 9 :]
    digits = np.concatenate([*parts, fraction], axis=1)
    if bool((colons != COLON).any()) or bool(((digits < ZERO) | (digits > ZERO + 9)).any()):
        return None
    if length > clock + 8 and bool((cells[:, clock + 8] != POINT).any()):
        return None
    hours, minutes, whole = (part.astype(np.float64) @ TENS_AND_ONES - ZERO * 11 for part in parts)
    if hours.max() > 23 or minutes.max() > 59 or whole.max() > 59:
        return None
    seconds: NDArray[np.float64] = hours * 3600.0 + minutes * 60.0 + whole
    if clock:
        texts, which = np.unique(np.ascontiguousarray(cells[:, :10]).view("S10").ravel(), return_inverse=True)
        days = [_day(text.decode("ascii", "replace")) for text in texts.tolist()]
        if None in days or bool((~np.isin(cells[:, 10], [BLANK, ord("T")])).any()):
            return None
        seconds = seconds + np.array(days, dtype=np.float64)[which] * SECONDS_PER_DAY
    if fraction.shape[1]:
        scale = 10.0 ** np.arange(fraction.shape[1] - 1, -1, -1)
        seconds = seconds + ((fraction.astype(np.float64) - ZERO) @ scale) / 10.0 ** fraction.shape[1]
    return seconds
