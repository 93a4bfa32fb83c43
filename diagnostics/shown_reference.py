"""Reference readings as pages show them: what is shared, and how a new reading stands among the others."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from diagnostics.kind import Kind
from diagnostics.kinds import kind_of
from diagnostics.models import SharedFigures
from diagnostics.reference_readings import Compared
from diagnostics.summary import figure_words, rounded, written


@dataclass(frozen=True, kw_only=True)
class ShownFigures:
    """Shared figures in words: of what, what, and how it turned out."""

    pk: int | None
    title: str
    family: str
    lines: list[tuple[str, str]]


@dataclass(frozen=True, kw_only=True)
class ShownComparison:
    name: str
    sentence: str
    others: str
    failed: str
    is_far: bool


def shown_draft(body: dict[str, Any], pk: int | None = None) -> ShownFigures:
    kind = kind_of(body["kind"])
    lines = [
        (
            name_of(kind, one["quantity"]),
            figure_words(one["value"], one["uncertainty"], one["unit"], one["bound"] or None),
        )
        for one in body["readings"]
    ]
    if body["temperature_c"] is not None:
        lines.append((_("Part at"), f"{rounded(body['temperature_c'], 4)} °C"))
    lines.append((_("Mileage"), str(SharedFigures.Mileage(body["mileage"]).label)))
    lines.append((_("The part turned out"), str(SharedFigures.Turned(body["turned"]).label)))
    return ShownFigures(
        pk=pk, title=str(kind.title if kind else body["kind"]), family=body["family"] or "", lines=lines
    )


def shown_figures(figures: SharedFigures) -> ShownFigures:
    columns = ("quantity", "value", "uncertainty", "unit", "bound")
    readings = [{name: getattr(one, name) for name in columns} for one in figures.readings.all()]
    facts = {name: getattr(figures, name) for name in ("kind", "temperature_c", "mileage", "turned")}
    return shown_draft(facts | {"family": str(figures.family), "readings": readings}, figures.pk)


def shown_comparisons(kind: Kind, compared: Iterable[Compared]) -> list[ShownComparison]:
    return [_comparison(kind, one) for one in compared]


def _comparison(kind: Kind, one: Compared) -> ShownComparison:
    standing = one.standing
    others = failed = ""
    if standing is not None:
        others = _("median %(median)s, half of them between %(low)s and %(high)s") % {
            "median": figure_words(standing.median, None, one.unit, None),
            "low": figure_words(standing.lower_quarter, None, one.unit, None),
            "high": figure_words(standing.upper_quarter, None, one.unit, None),
        }
        if standing.score is not None:
            others += _("; robust score of this one %(score)s") % {"score": written(standing.score, 1)}
    if one.failed_median is not None:
        failed = ngettext(
            "%(n)d that failed later: median %(median)s", "%(n)d that failed later: median %(median)s", one.failed
        ) % {"n": one.failed, "median": figure_words(one.failed_median, None, one.unit, None)}
    return ShownComparison(
        name=name_of(kind, one.quantity),
        sentence=_behind(one),
        others=others,
        failed=failed,
        is_far=standing is not None and standing.is_far,
    )


def _behind(one: Compared) -> str:
    """Who is behind the figures: how many workshops, or that they are too few and whose stand there instead."""
    count = one.standing.count if one.standing else 0
    if not one.own:
        words = _("%(n)d sound readings of %(workshops)d workshops") % {"n": count, "workshops": one.workshops}
        return words + (_(", and %(n)d beyond a display’s range") % {"n": one.beyond} if one.beyond else "")
    few = ngettext(
        "too few: reference readings of %(n)d workshop", "too few: reference readings of %(n)d workshops", one.workshops
    ) % {"n": one.workshops}
    if not count:
        return few
    own = ngettext("Instead %(n)d reading of your own", "Instead %(n)d readings of your own", count) % {"n": count}
    return f"{few}. {own}"


def name_of(kind: Kind | None, quantity: str) -> str:
    return str(kind.quantities.get(quantity, quantity)) if kind else quantity
