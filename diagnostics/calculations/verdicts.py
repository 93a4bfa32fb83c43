"""Limits, the choice between them, the uncertainty of a reading, and the verdict that follows from all three.

Reasons that a finding carries (``Finding.reason``), and the next step that ``assess`` names for each unproven one:

=====================  =====================================================  ================================
reason                 meaning                                                next step
=====================  =====================================================  ================================
clear_of_limit         the whole interval lies strictly inside                none (within)
beyond_limit           the whole interval lies strictly outside               none (outside)
touches_limit          the interval touches or straddles the limit            use_finer_instrument
bound_undecided        a bound ("at least", "at most") doesn't reach          use_other_range
no_limit               nobody gave a limit                                    enter_limit
limit_without_source   the limit doesn't say where it comes from              name_source_of_limit
uncertainty_unknown    the instrument's accuracy is not known                 enter_instrument_accuracy
missing                the reading is not there                               take_reading
missing_...            something that the reading needs is not there          take_reading
stale                  the reading is too old, or was disturbed               take_reading_again
wrong_state            the car was not in the state that the record needs     take_reading_in_required_state
overdue_instrument     the instrument's calibration has run out               use_instrument_in_date
temperature_out_of_..  no rule corrects from the measured temperature         measure_between_10_and_85_c
read_too_early         the test voltage was not on for long enough            take_reading_again
damp                   the winding was damp                                   dry_and_measure_again
of one subject         see ``NEXT_STEP_FOR_REASON``                           a step of its own
any other concern      told by the caller or by the subject's own module      clear_concern
=====================  =====================================================  ================================

A concern that the caller or a subject's own module gives becomes the reason as it stands. Steps that begin with
``stop`` come before all others; then what the unproven findings need; then what the subject's module adds.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from diagnostics.calculations import checks

KINDS = ("minimum", "maximum", "range")
AUTHORITIES = ("maker", "standard", "common practice")  # in this order they go before each other
BOUNDS = ("at_least", "at_most")
COMMON_PRACTICE = "common practice, no source"  # the trade's own habit; it counts as a source

NEXT_STEP_FOR_REASON = {
    "touches_limit": "use_finer_instrument",
    "bound_undecided": "use_other_range",
    "no_limit": "enter_limit",
    "limit_without_source": "name_source_of_limit",
    "uncertainty_unknown": "enter_instrument_accuracy",
    "missing": "take_reading",
    "stale": "take_reading_again",
    "wrong_state": "take_reading_in_required_state",
    "overdue_instrument": "use_instrument_in_date",
    "overdue_resistor": "use_resistor_in_date",
    "instrument_fails_check": "use_other_instrument",
    "temperature_out_of_range": "measure_between_10_and_85_c",
    "read_too_early": "take_reading_again",
    "damp": "dry_and_measure_again",
    # Of the record around the reading, and of the subjects.
    "missing_temperature": "measure_temperature",
    "missing_second_person": "name_second_person",
    "not_authorised_live": "let_authorised_person_measure",
    "absence_not_proved": "prove_absence_of_voltage",
    "missing_calibration_date": "enter_calibration_date",
    "isolation_monitor_on": "switch_isolation_monitor_off",
    "missing_meter_proof_before": "prove_meter_before_and_after",
    "missing_meter_proof_after": "prove_meter_before_and_after",
    "test_current_too_low": "use_more_current",
    "reading_below_null": "null_leads_again",
    "missing_null": "null_leads_again",
    "lower_than_before_unplugging": "start_again_with_all_connected",
    "open_contact_conducts": "find_what_lies_across_contact",
    "missing_rotor_positions": "read_more_rotor_positions",
    "missing_lead_resistance": "null_leads_again",
    "missing_resistance_above_leads": "null_leads_again",
    "missing_pair_out_of_range": "use_other_range",
    "missing_coil_out_of_range": "use_other_range",
    "missing_drop_with_resistor": "take_reading_again",
    "missing_test_current": "enter_test_current",
    "steps_not_done": "finish_making_safe",
    "not_qualified": "let_qualified_person_measure",
    "log_begins_late": "log_from_switching_off",
    "not_one_minute": "take_reading_again",
    "not_at_20_c": "measure_at_20_c",
    "pilot_needs_live": "read_pilot_live",
    "not_taken_dead": "take_the_rest_dead",
    "missing_blocks": "read_all_blocks",
    "missing_direction": "read_both_directions",
    "differs_from_other_switches": "compare_with_other_meter",
    "missing_start_above_60_v": "log_from_switching_off",
    "missing_rated_capacity": "enter_rated_capacity",
    "missing_discharge_current": "exchange_sign_of_current",
}


class Verdict(StrEnum):
    """What a reading proves about a limit: within, outside, or not enough data."""

    WITHIN = "within"
    OUTSIDE = "outside"
    UNPROVEN = "unproven"


WORST_FIRST = (Verdict.OUTSIDE, Verdict.UNPROVEN, Verdict.WITHIN)


@dataclass(frozen=True, kw_only=True)
class Limit:
    """A limit with the place that it comes from.

    Fields:
        kind [-], text: minimum, maximum or range.
        value [unit], scalar: the limit; of a range the lower end.
        unit [-], text: unit of value and upper.
        source [-], text: standard with clause, maker's document, or "common practice, no source"; may be empty, and
            then no reading is ever within it.
        authority [-], text: maker, standard or common practice.
        upper [unit], scalar or None: the upper end of a range, above value; None for the other kinds.
    Valid range: ``ValueError`` for an unknown kind or authority, a value or upper that is not a finite number, a range
        without an upper end above its value, and an upper end on a minimum or maximum.
    Example:
        >>> Limit(kind="minimum", value=5, unit="megohm", source="IEEE 43-2013 Table 3, as quoted",
        ...       authority="standard").value
        5.0

    Source: the project's own rule.
    """

    kind: str
    value: float
    unit: str
    source: str
    authority: str
    upper: float | None = None

    def __post_init__(self) -> None:
        """Refuse what is no limit, and keep the figures as plain floats."""
        checks.choice(name="kind", value=self.kind, allowed=KINDS)
        checks.choice(name="authority", value=self.authority, allowed=AUTHORITIES)
        _text("unit", self.unit)
        _text("source", self.source)
        object.__setattr__(self, "value", checks.number(name="value", value=self.value))
        if self.kind == "range":
            object.__setattr__(self, "upper", checks.number(name="upper", value=self.upper))
            if self.upper is None or self.upper <= self.value:
                raise ValueError(
                    f"The argument upper must be above the value {self.value!r} of a range, but it is {self.upper!r}."
                )
        elif self.upper is not None:
            raise ValueError(f"The argument upper belongs to a range only, but the {self.kind} has {self.upper!r}.")


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


def choose_limit(*, limits: Sequence[Limit], strictest: bool = False) -> Limit | None:
    """Return the limit that counts among several.

    Formula: the maker's limit goes before a standard's, a standard's before common practice; among limits of one
    authority the strictest counts: the highest minimum, the lowest maximum, the narrowest range. With
    ``strictest=True`` (isolation, bonding, discharge: where a maker can't loosen law) the strictest of all counts.
    Of two equally strict limits the one that names its source counts, then the one of the higher authority.

    Parameters:
        limits [one unit], row of Limit: may be empty.
        strictest [-], truth value: compare all of them whatever their authority.
    Returns:
        [-] the limit, or None where there is none.
    Valid range: ``ValueError`` where limits that have to be compared differ in kind or in unit.
    Example:
        >>> law = Limit(kind="minimum", value=100, unit="ohm/V", source="UN R100 5.1.3.1", authority="standard")
        >>> maker = Limit(kind="minimum", value=50, unit="ohm/V", source="maker's sheet", authority="maker")
        >>> choose_limit(limits=[law, maker]).value, choose_limit(limits=[law, maker], strictest=True).value
        (50.0, 100.0)

    Source: the project's own rule.
    """
    compared = list(limits)
    if not strictest:
        highest = min((AUTHORITIES.index(limit.authority) for limit in compared), default=0)
        compared = [limit for limit in compared if limit.authority == AUTHORITIES[highest]]
    for what, found in (("kind", {limit.kind for limit in compared}), ("unit", {limit.unit for limit in compared})):
        if len(found) > 1:
            raise ValueError(
                f"The argument limits must hold limits of one {what} to be compared, "
                f"but it holds {', '.join(sorted(found))}."
            )
    return min(compared, key=_looseness, default=None)


def instrument_uncertainty(*, reading: float, percent_of_reading: float, counts: float, resolution: float) -> float:
    """Return the uncertainty of a reading from the accuracy that its instrument's data sheet states.

    Formula: U = abs(reading) x percent / 100 + counts x resolution, used as U (k = 2).

    Parameters:
        reading [any unit], scalar: what the display shows.
        percent_of_reading [%], scalar: the "% of reading" of the data sheet.
        counts [-], scalar: the "+ digits" of the data sheet.
        resolution [unit of the reading], scalar: what the last digit is worth in the range that was used.
    Returns:
        [unit of the reading] U.
    Valid range: any finite reading; the others from zero up. ``ValueError`` for anything else.
    Example:
        >>> instrument_uncertainty(reading=-200.0, percent_of_reading=0.5, counts=3, resolution=0.1)
        1.3

    Source: common practice, no source (the form in which data sheets of hand-held meters state accuracy).
    """
    reading = checks.number(name="reading", value=reading)
    gain = abs(reading) * checks.not_negative(name="percent_of_reading", value=percent_of_reading) / 100.0
    digits = checks.not_negative(name="counts", value=counts) * checks.not_negative(name="resolution", value=resolution)
    return checks.carried(name="uncertainty", value=gain + digits)


def reading_uncertainty(
    *, reading: float, percent_of_reading: float | None, counts: float | None, resolution: float | None
) -> float | None:
    """Return the uncertainty of a reading, or None where the instrument's accuracy is not known.

    Formula: that of ``instrument_uncertainty``.

    Parameters:
        reading [any unit], scalar: what the display shows.
        percent_of_reading [%], scalar or None: the "% of reading" of the data sheet.
        counts [-], scalar or None: the "+ digits" of the data sheet.
        resolution [unit of the reading], scalar or None: what the last digit is worth.
    Returns:
        [unit of the reading] U, or None if any of the three is None.
    Valid range: as ``instrument_uncertainty``; ``ValueError`` for anything else.
    Example:
        >>> reading_uncertainty(reading=10.0, percent_of_reading=None, counts=3, resolution=0.1) is None
        True

    Source: the project's own rule.
    """
    if percent_of_reading is None or counts is None or resolution is None:
        return None
    return instrument_uncertainty(
        reading=reading, percent_of_reading=percent_of_reading, counts=counts, resolution=resolution
    )


def propagate(*, contributions: checks.Row, shared: Sequence[checks.Row] = ()) -> float:
    """Return the uncertainty of a result to first order from what each input contributes to it.

    Formula: U = sqrt(sum c_i^2 + sum_g (sum_j s_gj)^2), where c_i = (d result / d input_i) x U_i for independent
    inputs, and s_gj the same, with its sign, for the inputs of a group g that share one instrument's gain: those move
    together, so they add up (or cancel) before they are squared.

    Parameters:
        contributions [unit of the result], row: sensitivity x U of every independent input; signs don't matter.
        shared [unit of the result], row of rows: one row for each shared gain, with signed sensitivity x U.
    Returns:
        [unit of the result] U with the same k as the inputs.
    Valid range: finite contributions; empty rows give 0.0. ``ValueError`` for anything else.
    Example:
        >>> propagate(contributions=[3.0, 4.0])
        5.0
        >>> propagate(contributions=[3.0], shared=[[5.0, -1.0]])
        5.0
        >>> propagate(contributions=[], shared=[[2.0, -2.0]])
        0.0

    Source: JCGM 100:2008 (GUM), 5.1.2 equation 10 and 5.2.2 note 1 (r = 1 inside a group), from memory.
    """
    independent = checks.row(name="contributions", values=contributions).tolist()
    groups = [math.fsum(checks.row(name="shared", values=group).tolist()) for group in shared]
    return checks.carried(name="uncertainty", value=math.hypot(*independent, *groups))


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
    _text("unit", unit)
    if not _text("quantity", quantity):
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


def _text(name: str, value: object) -> str:
    """Return a text without the blanks around it, or refuse what is no text."""
    if not isinstance(value, str):
        raise ValueError(f"The argument {name} must be a text, but it is {value!r}.")
    return value.strip()


def _texts(name: str, values: object) -> tuple[str, ...]:
    """Return a row of codes, or refuse a single text given in its place, which would fall apart into letters."""
    if not isinstance(values, list | tuple) or not all(isinstance(value, str) and value.strip() for value in values):
        raise ValueError(f"The argument {name} must be a row of codes, but it is {values!r}.")
    return tuple(values)


def _concerns(concerns: object) -> tuple[str, ...]:
    """Return the concerns, each once, in the order given."""
    return tuple(dict.fromkeys(_texts("concerns", concerns)))


def _looseness(limit: Limit) -> tuple[float, bool, int]:
    """Order limits of one kind from the strictest to the loosest."""
    loose = {"minimum": -limit.value, "maximum": limit.value, "range": (limit.upper or 0.0) - limit.value}[limit.kind]
    return loose, not limit.source.strip(), AUTHORITIES.index(limit.authority)


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
