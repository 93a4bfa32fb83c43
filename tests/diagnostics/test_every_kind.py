"""Every kind of record: what it declares, that it judges whatever can be typed, and never "within" on a doubt."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.template.loader import render_to_string
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from diagnostics import kind as declared
from diagnostics.calculations.verdicts import Assessment, Verdict
from diagnostics.kind import Figure, Kind, Reading
from diagnostics.kinds import all_kinds
from diagnostics.models import InstrumentRange
from diagnostics.models.sheets import CarState
from diagnostics.presenting import present
from diagnostics.recording import as_json, from_json
from diagnostics.wording import NEXT_STEPS, REASONS, REMARKS
from tests.diagnostics.doubts import DOUBTS
from tests.diagnostics.sound import SOUND, limits_of
from tests.diagnostics.typed import readings

KINDS = list(all_kinds().values())
FIRST = {"state", "subject", "stood_by", "instrument_range", "temperature_c", "remark"}
every_kind = pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.code)
moderately = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def named(kind: Kind, sort: type) -> list[Any]:
    return [field for field in kind.fields if isinstance(field, sort)]


# What a kind declares


def test_all_kinds_of_the_trade_are_there() -> None:
    assert set(SOUND) == set(all_kinds()) and len(KINDS) == 20
    assert len({kind.order for kind in KINDS}) == len(KINDS)


@every_kind
def test_names_of_fields_are_unique_and_not_those_of_every_record(kind: Kind) -> None:
    names = [field.name for field in kind.fields]
    assert len(set(names)) == len(names) and not FIRST & set(names)


@every_kind
def test_units_and_meters_are_ones_that_a_workshop_can_enter(kind: Kind) -> None:
    units = set(InstrumentRange.Unit.values)
    meters = {meter.name: meter.unit for meter in named(kind, declared.Meter)}
    assert kind.unit in units and set(meters.values()) <= units
    read_with = {figure.meter: figure.unit for figure in named(kind, Figure) if figure.meter}
    assert read_with.items() <= meters.items()


@every_kind
def test_bounds_are_read_in_the_unit_of_the_instrument_whose_range_gives_ol_its_figure(kind: Kind) -> None:
    own = [figure for figure in named(kind, Figure) if figure.may_be_bound and not figure.meter]
    assert {figure.unit for figure in own} <= {kind.unit}


@every_kind
def test_what_can_be_limited_has_a_name_a_shape_and_a_unit(kind: Kind) -> None:
    assert set(kind.limitable) <= set(kind.quantities)
    assert all(shape in ("minimum", "maximum", "range") and unit for shape, unit in kind.limitable.values())
    for quantity, limits in kind.general_limits(None).items():
        assert {(limit.kind, limit.unit) for limit in limits} == {kind.limitable[quantity]}


@every_kind
def test_it_names_its_states_and_warns_in_two_sentences_that_defer_to_the_maker(kind: Kind) -> None:
    assert kind.states and set(kind.states) <= set(CarState.values)
    first, rest = map(str, kind.cautions)  # the page has room for a sentence and for what follows from it
    assert first.strip() and rest.strip()
    assert "maker" in first + rest
    assert kind.second_person or "never alone" in rest.lower() or "second person" in rest


# What it makes of a reading


@every_kind
def test_a_reading_with_everything_in_order_is_within(kind: Kind) -> None:
    assessment = kind.assess(SOUND[kind.code].reading(kind))
    assert [(f.quantity, f.reason) for f in assessment.findings if f.verdict is not Verdict.WITHIN] == []
    assert assessment.verdict is Verdict.WITHIN


@every_kind
@moderately
@given(data=st.data())
def test_whatever_can_be_typed_is_judged_named_and_drawn(kind: Kind, data: st.DataObject) -> None:
    reading = data.draw(readings(kind))
    assessment = kind.assess(reading)
    assert_told(kind, assessment)
    assert present(kind, reading, assessment).sentence
    for one in (reading, stored(reading)):
        chart = kind.chart(one, assessment)
        if chart is not None:
            assert "<svg" in render_to_string(chart.template, {"chart": chart})


@every_kind
def test_a_sound_reading_has_a_chart_that_renders(kind: Kind) -> None:
    reading = SOUND[kind.code].reading(kind)
    chart = kind.chart(stored(reading), kind.assess(reading))
    drawn = chart is not None
    assert drawn == (kind.code != "battery_capacity")  # a typed capacity has no curve
    if drawn:
        assert "<svg" in render_to_string(chart.template, {"chart": chart})


def assert_told(kind: Kind, assessment: Assessment) -> None:
    """Every code that a page would show has a name or a sentence of its own."""
    assert assessment.findings
    for finding in assessment.findings:
        assert kind.quantities.get(finding.quantity), finding.quantity
        assert finding.reason in REASONS, finding.reason
    for step in assessment.next_steps:
        assert (step in NEXT_STEPS) != (step in REMARKS), step
    if assessment.verdict is Verdict.UNPROVEN:
        assert any(step in NEXT_STEPS for step in assessment.next_steps)


def stored(reading: Reading) -> Reading:
    """What comes back from a record's own text: limits, family and a log's samples are not in it."""
    kept = {name: from_json(json.loads(json.dumps(as_json(value)))) for name, value in reading.values.items()}
    return Reading(values=kept, temperature_c=reading.temperature_c, accuracy=reading.accuracy, state=reading.state)


# Never within on a doubt


@every_kind
@pytest.mark.parametrize("doubt", DOUBTS, ids=lambda doubt: doubt.__name__)
def test_a_doubt_makes_within_impossible(kind: Kind, doubt: Any) -> None:
    doubtful = doubt(kind, SOUND[kind.code].reading(kind))
    if doubtful is not None:  # where this kind can have that doubt
        assert kind.assess(doubtful).verdict is Verdict.UNPROVEN


@every_kind
@moderately
@given(data=st.data())
def test_a_doubt_makes_within_impossible_for_any_reading(kind: Kind, data: st.DataObject) -> None:
    reading = data.draw(readings(kind) | near(kind))
    doubtful = data.draw(st.sampled_from(DOUBTS))(kind, reading)
    if doubtful is not None:
        assert kind.assess(doubtful).verdict is not Verdict.WITHIN


@every_kind
@moderately
@given(data=st.data())
def test_within_always_rests_on_a_limit_with_a_source_and_an_interval_inside_it(kind: Kind, data: Any) -> None:
    for finding in kind.assess(data.draw(readings(kind) | near(kind))).findings:
        if finding.verdict is Verdict.WITHIN:
            assert finding.limit and finding.limit.source.strip() and not finding.concerns
            assert finding.value is not None and finding.uncertainty is not None
            assert (finding.margin_percent is None) or finding.margin_percent > 0


def near(kind: Kind) -> st.SearchStrategy[Reading]:
    """The sound reading with every figure a little off: some of these are within, some touch their limit."""
    sound = SOUND[kind.code]
    ends = {field.name: (field.low, field.high) for field in kind.fields if hasattr(field, "low")}

    def moved(factors: list[float]) -> Reading:
        change = iter(factors)
        values = {name: _moved(value, change, ends.get(name, ())) for name, value in sound.values.items()}
        return sound.reading(kind, values=values)

    return st.lists(st.floats(0.9, 1.1), min_size=80, max_size=80).map(moved)


def _moved(value: Any, change: Any, ends: tuple[float | None, ...]) -> Any:
    if isinstance(value, tuple) and not isinstance(value, declared.Value):
        return tuple(_moved(one, change, ends) for one in value)
    if isinstance(value, declared.Value):
        return declared.Value(_moved(value.figure, change, ends), value.bound)
    if not isinstance(value, float) or not ends:
        return value
    low, high = ends
    figure = value * next(change)
    return max(low, min(figure, high)) if low is not None and high is not None else figure


@every_kind
@pytest.mark.parametrize("end", [5e-324, 1e-320, 1e9, 1e300, -1e9], ids=str)
def test_a_limit_that_no_maker_states_still_leaves_a_chart_that_is_drawn_at_once(kind: Kind, end: float) -> None:
    sound = SOUND[kind.code]
    for quantity, (shape, _unit) in kind.limitable.items():
        upper = max(2 * end, end + 1) if shape == "range" else None
        reading = sound.reading(kind, limits=limits_of(kind, {quantity: (end, upper)}))
        chart = kind.chart(reading, kind.assess(reading))
        if chart is not None:
            assert len(render_to_string(chart.template, {"chart": chart})) < 100_000
