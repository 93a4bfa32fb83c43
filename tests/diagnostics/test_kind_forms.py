"""The form of every kind: it builds, refuses an empty one with sentences, and lets through what was typed."""

from __future__ import annotations

import datetime
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone
from django.utils.html import escape

from diagnostics import kind as declared
from diagnostics.kind import Kind, Value
from diagnostics.kinds import all_kinds
from diagnostics.models import Instrument, InstrumentRange, Record
from diagnostics.record_form import RecordForm
from diagnostics.recording import Entry, add_record, judge
from tests.bench import Bench
from tests.diagnostics.sound import SOUND

every_kind = pytest.mark.parametrize("kind", list(all_kinds().values()), ids=lambda kind: kind.code)


def form_of(bench: Bench, kind: Kind, data: dict[str, Any] | None = None, **more: Any) -> RecordForm:
    return RecordForm(data, kind=kind, sheet=bench.sheet, membership=bench.ilse, **more)


def meter(unit: str, highest: float = 2000.0, due_in_days: int = 100) -> InstrumentRange:
    due = timezone.localdate() + datetime.timedelta(days=due_in_days)
    instrument = Instrument(name=f"Second {unit} {highest:g}", serial="4472", calibration_due=due)
    instrument.save()
    made = InstrumentRange(
        instrument=instrument, unit=unit, highest=highest, percent_of_reading=0.1, counts=1, resolution=0.001
    )
    made.save()
    return made


def typed(bench: Bench, kind: Kind) -> dict[str, Any]:
    """The sound reading of the kind as somebody types it, with instruments in date."""
    sound = SOUND[kind.code]
    data = {field.name: written(sound.values.get(field.name)) for field in kind.fields}
    for field in kind.fields:
        if isinstance(field, declared.Meter):
            data[field.name] = meter(field.unit).pk
    first = {"state": kind.states[-1], "stood_by": bench.bram.person_id, "temperature_c": sound.temperature_c or ""}
    first["instrument_range"] = meter(kind.unit, 3000.0).pk
    return data | first | ({"subject": "1"} if kind.per_subject else {})


def written(value: Any) -> str:
    if isinstance(value, Value):
        return f"{'>' if value.bound == 'at_least' else '<'} {value.figure:g}"
    if isinstance(value, tuple):
        return "; ".join(f"{one:g}" for one in value)
    if isinstance(value, bool):
        return "on" if value else ""
    return "" if value is None else str(value).replace(".", ",") if isinstance(value, float) else str(value)


@every_kind
def test_an_empty_form_is_refused_with_sentences(bench: Bench, kind: Kind) -> None:
    form = form_of(bench, kind, {})
    assert not form.is_valid()
    assert all(str(words).endswith((".", "?")) for words in form.errors.values() for words in words)
    assert "state" in form.errors and set(form.errors) <= set(form.fields)


@every_kind
def test_what_was_typed_comes_out_as_it_was_meant(bench: Bench, kind: Kind) -> None:
    form = form_of(bench, kind, typed(bench, kind))
    assert form.is_valid(), form.errors
    values = form.entry().values
    for name, value in SOUND[kind.code].values.items():
        if not isinstance(value, dict):
            assert values[name] == value, name


@every_kind
def test_a_record_is_kept_and_its_correction_begins_with_what_was_typed(bench: Bench, kind: Kind) -> None:
    first = form_of(bench, kind, typed(bench, kind))
    assert first.is_valid(), first.errors
    record = add_record(first.entry())
    again = form_of(bench, kind, corrects=record)
    data = {name: again[name].value() for name in again.fields}
    second = form_of(bench, kind, {name: "" if v is None or v is False else v for name, v in data.items()})
    assert second.is_valid(), second.errors
    assert {**second.entry().values} == {**first.entry().values}


@every_kind
def test_without_an_instrument_the_form_is_let_through_and_proves_nothing(bench: Bench, kind: Kind) -> None:
    data = typed(bench, kind) | {"instrument_range": ""}
    form = form_of(bench, kind, data)
    assert form.is_valid(), form.errors
    assert judge(form.entry())[1].verdict != "within"


@every_kind
def test_its_page_takes_the_reading_and_shows_the_record(bench: Bench, kind: Kind, client_of: Any) -> None:
    client = client_of(bench.ilse)
    page = reverse("record_new", args=[bench.sheet.pk, kind.code])
    assert client.get(page).status_code == 200
    shown = client.post(page, typed(bench, kind), follow=True)
    assert shown.status_code == 200 and shown.redirect_chain
    told = shown.content.decode()
    names = [kind.quantities[one["quantity"]] for one in Record.objects.get(kind=kind.code).body["findings"]]
    assert all(escape(str(name)) in told for name in names)


def test_an_overdue_second_instrument_proves_nothing(bench: Bench) -> None:
    kind = all_kinds()["back_voltage"]
    data = typed(bench, kind) | {"tachometer": meter("rpm", 9000.0, due_in_days=-1).pk}
    form = form_of(bench, kind, data)
    assert form.is_valid(), form.errors
    assert "overdue_instrument" in judge(form.entry())[1].findings[0].concerns


def test_ol_takes_its_figure_from_the_meter_that_reads_it(bench: Bench) -> None:
    kind = all_kinds()["position_sensor"]
    data = typed(bench, kind) | {"sine_to_body_megohm": "OL", "insulation_tester": meter("megohm", 550.0).pk}
    form = form_of(bench, kind, data)
    assert form.is_valid(), form.errors
    assert form.entry().values["sine_to_body_megohm"] == Value(550.0, "at_least")


def test_a_figure_of_a_row_that_cannot_be_is_asked_again(bench: Bench) -> None:
    kind = all_kinds()["fan_sweep"]
    form = form_of(bench, kind, typed(bench, kind) | {"commanded_percent": "20 40 60 80 110"})
    assert list(form.errors) == ["commanded_percent"]
    assert "110 % can't be" in form.errors["commanded_percent"][0].replace("’", "'")


def test_the_pilot_of_a_dead_car_is_not_enough_data(bench: Bench) -> None:
    kind = all_kinds()["charge_inlet"]
    form = form_of(bench, kind, typed(bench, kind) | {"state": "dead"})
    assert form.is_valid(), form.errors
    entry: Entry = form.entry()
    pilots = [finding for finding in judge(entry)[1].findings if finding.quantity.startswith("pilot")]
    assert {finding.reason for finding in pilots} == {"pilot_needs_live"}
