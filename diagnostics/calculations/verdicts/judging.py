"""Verdicts: a reading with its uncertainty against a limit, and several of them together (codes: `reasons.py`)."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from diagnostics.calculations import checks
from diagnostics.calculations.verdicts.limits import Limit
from diagnostics.calculations.verdicts.reasons import NEXT_STEP_FOR_REASON

BOUNDS = ("at_least", "at_most")


class Verdict(StrEnum):
    """What a reading proves about a limit: within, outside, or not enough data."""

    WITHIN = "within"
    OUTSIDE = "outside"
    UNPROVEN = "unproven"


WORST_FIRST = (Verdict.OUTSIDE, Verdict.UNPROVEN, Verdict.WITHIN)


@dataclass(frozen=True, kw_only=True)
class Finding:
    """One quantity against one limit, with everything that the verdict was made from.

    Fields:
        quantity [-], text: code of what was measured, in snake_case.
        value [unit], scalar or None: the reading, or the figure of a bound; None where there is no reading.
        unit [-], text: unit of the value, the uncertainty and the limit.
        uncertainty [unit], scalar or None: U with k = 2; None where it isn't known.
        limit [-], Limit or None: the limit judged against.
        verdict [-], Verdict: within, outside or unproven.
        margin_percent [%], scalar or None: 100 x distance to the limit / abs(limit), without U, positive on the good
            side; None without a limit, without a value or at limit 0.
        reason [-], text: reason code, see the table of this module.
        explanation [-], text: the same as one English sentence.
        bound [-], text or None: at_least or at_most where the value is a bound.
        concerns [-], row of texts: all concerns that were given.
    Valid range: made by ``judge``; nothing is checked here.
    Example:
        >>> Finding(quantity="ripple", value=None, unit="V", uncertainty=None, limit=None, verdict=Verdict.UNPROVEN,
        ...         margin_percent=None, reason="missing", explanation="There is no reading of ripple.").bound is None
        True

    Source: the project's own rule.
    """

    quantity: str
    value: float | None
    unit: str
    uncertainty: float | None
    limit: Limit | None
    verdict: Verdict
    margin_percent: float | None
    reason: str
    explanation: str
    bound: str | None = None
    concerns: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Assessment:
    """The findings of one record, the verdict over all of them, and what to do next.

    Fields:
        findings [-], row of Finding: one for each quantity that was judged.
        verdict [-], Verdict: the worst of them.
        next_steps [-], row of texts: codes, the first is the one next thing to do.
    Valid range: made by ``assess``; nothing is checked here.
    Example:
        >>> Assessment(findings=(), verdict=Verdict.UNPROVEN, next_steps=("take_reading",)).verdict.value
        'unproven'

    Source: the project's own rule.
    """

    findings: tuple[Finding, ...]
    verdict: Verdict
    next_steps: tuple[str, ...]


def judge(
    *,
    quantity: str,
    value: float | None,
    unit: str,
    uncertainty: float | None,
    limit: Limit | None,
    concerns: Sequence[str] = (),
    bound: str | None = None,
) -> Finding:
    """Return the verdict on one reading against one limit, with a guard band as wide as the uncertainty.

    Formula: the reading stands for the interval from value - U to value + U; of a bound "at least" the upper end is
    open, of "at most" the lower one. Within only if the whole interval lies strictly inside the limit, outside only
    if it lies strictly outside, unproven where it touches or straddles. Unproven also without a reading, with any
    concern, without a limit, with a limit that names no source, and where the uncertainty is not known; the first
    that holds, in this order, is the reason. Ends that differ by rounding only (4 units of the last place) touch.
    margin = 100 x distance to the limit / abs(limit), for a range to the nearer end, positive on the good side.

    Parameters:
        quantity [-], text: code of what was measured, in snake_case.
        value [unit], scalar or None: the reading; None where there is none.
        unit [-], text: its unit, the same as the limit's.
        uncertainty [unit], scalar or None: U with k = 2; None where it isn't known.
        limit [unit], Limit or None: the limit that counts.
        concerns [-], row of texts: reason codes such as stale, wrong_state, overdue_instrument, missing_temperature.
        bound [-], text or None: at_least for "OL" and "> 550", at_most for "< 0.01".
    Returns:
        [-] the finding.
    Valid range: ``ValueError`` for NaN, infinity, text or a truth value as a figure, a negative uncertainty, an
        unknown bound, an empty quantity or concern, and a unit that differs from the limit's.
    Example:
        >>> minimum = Limit(kind="minimum", value=5, unit="megohm", source="IEEE 43-2013 Table 3, as quoted",
        ...                 authority="standard")
        >>> judge(quantity="insulation", value=550, unit="megohm", uncertainty=0.0, limit=minimum,
        ...       bound="at_least").verdict.value
        'within'
        >>> judge(quantity="insulation", value=5.2, unit="megohm", uncertainty=0.2, limit=minimum).reason
        'touches_limit'

    Source: JCGM 106:2012, 8.3 (guarded acceptance and guarded rejection), from memory.
    """
    value = None if value is None else checks.number(name="value", value=value)
    uncertainty = None if uncertainty is None else checks.not_negative(name="uncertainty", value=uncertainty)
    told = _concerns(concerns)
    checks.text(name="unit", value=unit)
    if not checks.text(name="quantity", value=quantity):
        raise ValueError(f"The argument quantity must not be empty, but it is {quantity!r}.")
    if bound is not None:
        checks.choice(name="bound", value=bound, allowed=BOUNDS)
    if limit is not None and limit.unit != unit:
        raise ValueError(f"The argument unit must be that of the limit, {limit.unit!r}, but it is {unit!r}.")
    reason = _reason(value, uncertainty, limit, told, bound)
    return Finding(
        quantity=quantity,
        value=value,
        unit=unit,
        uncertainty=uncertainty,
        limit=limit,
        verdict={"clear_of_limit": Verdict.WITHIN, "beyond_limit": Verdict.OUTSIDE}.get(reason, Verdict.UNPROVEN),
        margin_percent=_margin_percent(value, limit),
        reason=reason,
        explanation=_explanation(quantity, value, unit, uncertainty, limit, reason, bound),
        bound=bound,
        concerns=told,
    )


def assess(*, findings: Sequence[Finding], next_steps: Sequence[str] = ()) -> Assessment:
    """Return the assessment over several findings: the worst verdict, and what to do next.

    Formula: worst wins: outside, then unproven, then within; unproven where there is no finding at all.

    Parameters:
        findings [-], row of Finding: may be empty.
        next_steps [-], row of texts: steps that the subject's own module adds.
    Returns:
        [-] the assessment; each step stands once, those that begin with stop first, then what the unproven findings
            need (table of this module), then the added ones.
    Valid range: any findings made by ``judge``; ``ValueError`` for an empty step, or a text in place of the row.
    Example:
        >>> assess(findings=[]).verdict.value, assess(findings=[]).next_steps
        ('unproven', ('take_reading',))

    Source: the project's own rule.
    """
    kept = tuple(findings)
    found = {finding.verdict for finding in kept} or {Verdict.UNPROVEN}
    needed = [_next_step(finding.reason) for finding in kept if finding.verdict is Verdict.UNPROVEN]
    steps = (needed if len(kept) > 0 else ["take_reading"]) + list(_texts("next_steps", next_steps))
    ordered = sorted(dict.fromkeys(steps), key=lambda step: not step.startswith("stop"))
    verdict = next(verdict for verdict in WORST_FIRST if verdict in found)
    return Assessment(findings=kept, verdict=verdict, next_steps=tuple(ordered))


def _texts(name: str, values: object) -> tuple[str, ...]:
    """Return a row of codes, or refuse a single text given in its place, which would fall apart into letters."""
    if not isinstance(values, list | tuple) or not all(isinstance(value, str) and value.strip() for value in values):
        raise ValueError(f"The argument {name} must be a row of codes, but it is {values!r}.")
    return tuple(values)


def _concerns(concerns: object) -> tuple[str, ...]:
    """Return the concerns, each once, in the order given."""
    return tuple(dict.fromkeys(_texts("concerns", concerns)))


def _ends(limit: Limit) -> tuple[float, float]:
    """Return the lower and the upper end of what the limit allows, open ends as infinity."""
    lower = -math.inf if limit.kind == "maximum" else limit.value
    upper = limit.upper if limit.upper is not None else (math.inf if limit.kind == "minimum" else limit.value)
    return lower, upper


def _reason(
    value: float | None, uncertainty: float | None, limit: Limit | None, concerns: tuple[str, ...], bound: str | None
) -> str:
    """Return the reason code: first what forbids any verdict, then what the interval says."""
    if value is None:
        return next((concern for concern in concerns if concern.startswith("missing")), (*concerns, "missing")[0])
    if len(concerns) > 0:
        return concerns[0]
    if limit is None:
        return "no_limit"
    if not limit.source.strip():
        return "limit_without_source"
    if uncertainty is None:
        return "uncertainty_unknown"
    return _reason_of_interval(value, uncertainty, limit, bound)


def _reason_of_interval(value: float, uncertainty: float, limit: Limit, bound: str | None) -> str:
    """Compare the interval with the ends of the limit, strictly on both sides."""
    low = -math.inf if bound == "at_most" else value - uncertainty
    high = math.inf if bound == "at_least" else value + uncertainty
    lower, upper = _ends(limit)
    figures = [abs(figure) for figure in (value, uncertainty, lower, upper) if math.isfinite(figure)]
    rounding = 4.0 * float(np.finfo(np.float64).eps) * max(figures) if uncertainty > 0.0 else 0.0
    if (low > lower + rounding or lower == -math.inf) and (high < upper - rounding or upper == math.inf):
        return "clear_of_limit"
    if high < lower - rounding or low > upper + rounding:
        return "beyond_limit"
    return "touches_limit" if bound is None else "bound_undecided"


def _margin_percent(value: float | None, limit: Limit | None) -> float | None:
    """Return the distance to the nearer end in percent of that end, positive on the good side."""
    if value is None or limit is None:
        return None
    lower, upper = _ends(limit)
    distances = [(value - lower, lower), (upper - value, upper)]
    distance, end = min(
        ((d, end) for d, end in distances if math.isfinite(end)), key=lambda pair: (pair[0], -abs(pair[1]))
    )
    return None if end == 0.0 else 100.0 * distance / abs(end)


def _next_step(reason: str) -> str:
    """Return the step that an unproven finding needs."""
    return NEXT_STEP_FOR_REASON.get(reason, "take_reading" if reason.startswith("missing") else "clear_concern")


def _figure(value: float, unit: str) -> str:
    """Return a figure with its unit as people write it."""
    return f"{value:.6g} {unit}".strip()


def _explanation(
    quantity: str,
    value: float | None,
    unit: str,
    uncertainty: float | None,
    limit: Limit | None,
    reason: str,
    bound: str | None,
) -> str:
    """Return the finding as one English sentence."""
    name = quantity.replace("_", " ")
    if value is None:
        return f"There is no reading of {name} ({reason.replace('_', ' ')}), so nothing can be told about its limit."
    words = {None: "", "at_least": "at least ", "at_most": "at most "}[bound]
    spread = "" if uncertainty is None else f" +- {_figure(uncertainty, unit)}"
    reading = f"The {name} is {words}{_figure(value, unit)}{spread}"
    if limit is None:
        return f"{reading}, but there is not enough data: {reason.replace('_', ' ')}."
    end = "" if limit.upper is None else f" to {_figure(limit.upper, unit)}"
    against = f"the {limit.kind} of {_figure(limit.value, unit)}{end} ({limit.source.strip() or 'no source named'})"
    if reason == "clear_of_limit":
        return f"{reading}, which is within {against}."
    if reason == "beyond_limit":
        return f"{reading}, which is outside {against}."
    return f"{reading}, but against {against} there is not enough data: {reason.replace('_', ' ')}."
