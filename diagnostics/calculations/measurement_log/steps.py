"""Reading a log piece by piece: the fast way for clean pieces, the careful one for those that aren't.

So a bad line at the end of a long log is named as quickly as one at its beginning, and a page can read a log in steps.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from diagnostics.calculations.measurement_log import careful, swift
from diagnostics.calculations.measurement_log.careful import Place
from diagnostics.calculations.measurement_log.errors import LogError
from diagnostics.calculations.measurement_log.layout import Layout


@dataclass(frozen=True, kw_only=True)
class Standing:
    """How the reading of a log stands.

    Fields:
        place [-], Place: what comes next.
        stop [bytes], scalar: where the samples end.
        with_care [-], truth: every line is looked at, since its marks are mixed.
    Valid range: made by ``begin`` and ``read_on``; nothing is checked here.
    Example:
        >>> Standing(place=Place(offset=5, line=2), stop=10, with_care=False).done
        False

    Source: the project's own rule.
    """

    place: Place
    stop: int
    with_care: bool

    @property
    def done(self) -> bool:
        """Whether all samples are read."""
        return self.place.offset >= self.stop


def begin(*, lines: bytes, plan: Layout) -> Standing:
    """Return where the reading of a log begins.

    Formula: none.

    Parameters:
        lines [-], bytes: the whole log as ``to_utf8`` returns it.
        plan [-], Layout: how it is laid out.
    Returns:
        [-] the standing before the first sample.
    Valid range: ``LogError`` where there is no sample.
    Example:
        >>> from diagnostics.calculations.measurement_log.layout import find_layout
        >>> text = b"time,voltage,current\\n0,12.5,1\\n"
        >>> begin(lines=text, plan=find_layout(lines=text, wanted=None)).stop
        29

    Source: the project's own rule.
    """
    stop = swift.end_of_samples(lines=lines, offset=plan.offset)
    if stop == plan.offset:
        raise LogError(line=plan.line, problem="there is no sample")
    place = Place(offset=plan.offset, line=plan.line)
    return Standing(place=place, stop=stop, with_care=swift.mixed_marks(lines=lines, plan=plan, stop=stop))


def read_on(
    *, lines: bytes, plan: Layout, standing: Standing, at_most_bytes: int | None = None
) -> tuple[list[NDArray[np.float64]], Standing]:
    """Return the next samples of a log, and how its reading stands then.

    Formula: as ``read_log``.

    Parameters:
        lines [-], bytes: the whole log as ``to_utf8`` returns it.
        plan [-], Layout: how it is laid out.
        standing [-], Standing: of ``begin`` or of the last step.
        at_most_bytes [bytes], scalar or None: how much to read before coming back, to the next half megabyte of whole
            lines; None reads to the end.
    Returns:
        [s, V, A] an array for each field of the plan, and the standing after them.
    Valid range: ``LogError`` as told at ``read_log``.
    Example:
        >>> from diagnostics.calculations.measurement_log.layout import find_layout
        >>> text = b"time,voltage,current\\n0,12.5,1\\n"
        >>> plan = find_layout(lines=text, wanted=None)
        >>> columns, standing = read_on(lines=text, plan=plan, standing=begin(lines=text, plan=plan))
        >>> columns[1].tolist(), standing.done
        ([12.5], True)

    Source: the project's own rule.
    """
    until = standing.stop if at_most_bytes is None else min(standing.stop, standing.place.offset + at_most_bytes)
    pieces: list[list[NDArray[np.float64]]] = []
    place = standing.place
    while place.offset < until:
        columns, place = _next(lines, plan, replace(standing, place=place))
        pieces.append(columns)
    joined = [np.concatenate([piece[column] for piece in pieces]) for column in range(len(plan.fields))]
    return joined, replace(standing, place=place)


def _next(lines: bytes, plan: Layout, standing: Standing) -> tuple[list[NDArray[np.float64]], Place]:
    """Return one piece of about half a megabyte, by whichever way it takes."""
    place = standing.place
    end = swift.end_of_piece(lines=lines, start=place.offset, stop=standing.stop)
    piece = lines[place.offset : end]
    values = None if standing.with_care else swift.read_piece(piece=piece, plan=plan, last_s=place.last_s)
    if values is None:
        return careful.read_lines(lines=lines, plan=plan, place=place, until=end)
    return values, replace(place, offset=end, line=place.line + piece.count(b"\n"), last_s=float(values[0][-1]))
