"""A judged reading as a page shows it: verdict, its sentence, chart, where limits come from, what to do next."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _

from diagnostics.calculations.verdicts import Assessment, Finding
from diagnostics.kind import Choice, Field, Figure, Figures, Kind, Log, Meter, Reading, Tick, Value
from diagnostics.kinds import kind_of
from diagnostics.models import Record
from diagnostics.recording import finding_as_json, reading_of
from diagnostics.summary import check_words, figure_words, limit_words, rounded
from diagnostics.wording import authority_words, is_remark, next_step_words, reason_words


@dataclass(frozen=True, kw_only=True)
class ShownFinding:
    """One finding in words: what, how much, against which limit from where, and why the verdict is what it is."""

    name: str
    verdict: str
    figure: str
    limit: str
    limit_from: str
    why: str


@dataclass(frozen=True, kw_only=True)
class Judged:
    kind: Kind
    verdict: str
    findings: tuple[ShownFinding, ...]
    chart: Any
    next_step: str
    bear_in_mind: tuple[Any, ...]

    @property
    def deciding(self) -> ShownFinding | None:
        """The first finding that has the verdict of the whole."""
        return next((f for f in self.findings if f.verdict == self.verdict), None)

    @property
    def sentence(self) -> str:
        """Why the verdict is what it is."""
        return self.deciding.why if self.deciding else ""


def present(kind: Kind, reading: Reading, assessment: Assessment) -> Judged:
    return Judged(
        kind=kind,
        verdict=assessment.verdict.value,
        findings=tuple(_shown(kind, finding) for finding in assessment.findings),
        chart=kind.chart(reading, assessment),
        next_step=next((next_step_words(step) for step in assessment.next_steps if not is_remark(step)), ""),
        bear_in_mind=(
            *kind.bear_in_mind,
            *(next_step_words(step) for step in assessment.next_steps if is_remark(step)),
        ),
    )


def present_record(record: Record) -> Judged:
    """A stored record, from its own text."""
    kind = kind_of(record.kind)
    if kind is None:
        raise LookupError(f"Record {record.pk} is of a kind that this version doesn't know: {record.kind}.")
    return present(kind, *reading_of(record))


def typed_words(record: Record) -> list[tuple[str, str]]:
    """What was typed into the record's own fields, in their order, each with its name; a log by its length."""
    return values_in_words(kind_of(record.kind), reading_of(record)[0].values)


def values_in_words(kind: Kind | None, values: Mapping[str, Any]) -> list[tuple[str, str]]:
    return [
        (str(field.label), _typed(field, values[field.name]))
        for field in (kind.fields if kind else ())
        if values.get(field.name) not in (None, "", False, ())
    ]


def _typed(field: Field, value: Any) -> str:
    """One typed value in words."""
    match field:
        case Figure():
            typed = value if isinstance(value, Value) else Value(value)
            return figure_words(typed.figure, None, field.unit, typed.bound)
        case Figures():
            return f"{' · '.join(rounded(one, 6) for one in value)} {field.unit}".strip()
        case Choice():
            return str(dict(field.choices).get(value, value))
        case Tick():
            return _("yes")
        case Meter():
            reach = f"{rounded(value['highest'], 4)} {value['unit']}"
            words = f"{value['name']}, {reach}" if "name" in value else reach  # a shared copy holds no names
            return f"{words}; {check_words(value['check'])}" if value.get("check") else words
        case Log():
            return _("%(n)d samples") % {"n": value["rows"]}
    return str(value)


def _shown(kind: Kind, finding: Finding) -> ShownFinding:
    as_stored = finding_as_json(finding)
    limit = as_stored["limit"]
    has_figure = finding.value is not None
    return ShownFinding(
        name=str(kind.quantities.get(finding.quantity, finding.quantity.replace("_", " "))),
        verdict=finding.verdict.value,
        figure=figure_words(finding.value, finding.uncertainty, finding.unit, finding.bound) if has_figure else "",  # type: ignore[arg-type]
        limit=limit_words(limit) if limit else "",
        limit_from=_limit_from(limit) if limit else "",
        why=reason_words(finding.reason),
    )


def _limit_from(limit: dict[str, Any]) -> str:
    """Who gave the limit and where it is written; "common practice, no source" says both by itself."""
    source: str = limit["source"]
    given_by = authority_words(limit["authority"])
    return source if source.startswith(limit["authority"]) else f"{given_by}: {source}"
