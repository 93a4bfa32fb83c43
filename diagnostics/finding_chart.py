"""Findings as readings on a line against their limit: the chart that most kinds need."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from diagnostics.calculations.verdicts import Finding
from diagnostics.charts import limit_line


def against_limit(
    *, key: str, title: str, findings: Sequence[Finding], names: Mapping[str, str], log: bool | None = None
) -> limit_line.LimitLine | None:
    """The findings that have a figure, all in one unit, against the limit of the first that has one; or None."""
    drawn = [finding for finding in findings if finding.value is not None]
    if not drawn or len({finding.unit for finding in drawn}) != 1:
        return None
    limit = next((finding.limit for finding in drawn if finding.limit), None)
    minimum = limit.value if limit and limit.kind in ("minimum", "range") else None
    maximum = limit.upper if limit and limit.kind == "range" else None
    if limit and limit.kind == "maximum":
        maximum = limit.value
    return limit_line.build(
        key=key,
        title=title,
        unit=drawn[0].unit,
        minimum=minimum,
        maximum=maximum,
        log=log,
        readings=[_reading(finding, names) for finding in drawn],
    )


def _reading(finding: Finding, names: Mapping[str, str]) -> limit_line.Reading:
    value = finding.value if finding.value is not None else 0.0
    spread = finding.uncertainty
    return limit_line.Reading(
        label=names.get(finding.quantity, finding.quantity),
        value=value,
        low=None if spread is None else value - spread,
        high=None if spread is None else value + spread,
        bound=finding.bound or "",  # type: ignore[arg-type]
        verdict=finding.verdict.value,
    )
