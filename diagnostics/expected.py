"""Expected readings of a family beside a reading: a hint to look again, never a limit, and no part of a verdict.

Shown to the workshop that entered one, and to everybody once a second has confirmed it from its own copy.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.db.models import Q
from django.utils.translation import gettext as _

from diagnostics.calculations.verdicts import Finding
from diagnostics.kind import Kind, Reading
from diagnostics.models import ExpectedReading, SystemFamily
from diagnostics.summary import figure_words
from network.access import acting_workshop_id


@dataclass(frozen=True, kw_only=True)
class Beside:
    """One expected reading with where the reading stands to it: "" in its band or not read, "below", "above"."""

    name: str
    expected: str
    read: str
    stands: str


def expected_of(kind: Kind, family: SystemFamily | None) -> list[ExpectedReading]:
    """What the acting workshop is shown for this kind of record on this family."""
    if family is None:
        return []
    own_or_confirmed = Q(confirmed_by__isnull=False) | Q(entered_by=acting_workshop_id())
    rows = ExpectedReading.objects.standing().filter(own_or_confirmed, family=family, kind=kind.code)
    # What was entered before the kind's quantities changed can't be compared with any reading.
    return [row for row in rows if kind.expectable.get(row.quantity) == row.unit]


def beside(rows: Iterable[ExpectedReading], kind: Kind, reading: Reading, findings: Sequence[Finding]) -> list[Beside]:
    """Each expected reading, against what was found or typed of it."""
    shown = []
    for row in rows:
        found = [one for one in findings if one.quantity == row.quantity]
        read: list[tuple[float | None, str | None]] = [(one.value, one.bound) for one in found]
        for value, bound in read or [(reading.figure(row.quantity), reading.bound(row.quantity))]:
            shown.append(
                Beside(
                    name=kind.name_of(row.quantity),
                    expected=expected_words(row),
                    read="" if value is None else figure_words(value, None, row.unit, bound),
                    stands="" if value is None else _stands(row, value, bound),
                )
            )
    return shown


def expected_words(row: ExpectedReading) -> str:
    """For instance "typically 94 milliohm, 60 milliohm to 250 milliohm (Lanner 14-207)"."""
    return _("typically %(typical)s, %(low)s to %(high)s (%(source)s)") % {
        "typical": figure_words(row.typical, None, row.unit, None),
        "low": figure_words(row.low, None, row.unit, None),
        "high": figure_words(row.high, None, row.unit, None),
        "source": row.source,
    }


def _stands(row: ExpectedReading, value: float, bound: str | None) -> str:
    """A bound stands outside of the band only where all that it leaves open does."""
    if value > row.high and bound != "at_most":
        return "above"
    return "below" if value < row.low and bound != "at_least" else ""
