"""The form of every kind: it builds, refuses an empty one with sentences, and lets through what was typed."""

from __future__ import annotations

from typing import Any

import pytest
from django.urls import reverse
from django.utils.html import escape

from diagnostics.kind import Kind, Value
from diagnostics.kinds import all_kinds
from diagnostics.models import Record
from diagnostics.record_form import RecordForm
from diagnostics.recording import Entry, add_record, judge
from tests.bench import Bench
from tests.diagnostics.entering import meter, typed
from tests.diagnostics.sound import SOUND

every_kind = pytest.mark.parametrize("kind", list(all_kinds().values()), ids=lambda kind: kind.code)


def form_of(bench: Bench, kind: Kind, data: dict[str, Any] | None = None, **more: Any) -> RecordForm:
    return RecordForm(data, kind=kind, sheet=bench.sheet, membership=bench.ilse, **more)


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


@pytest.mark.parametrize(
    ("shown", "meant"),
    [("212 kilohm", 0.212), ("1,5 Gigohm", 1500.0), ("212 megohm", 212.0), ("> 550", Value(550.0, "at_least")),
     ("> 2 gigohm", Value(2000.0, "at_least")), ("93.6 kilohm", 0.0936)],
)  # fmt: skip
def test_a_figure_may_be_typed_in_the_unit_that_the_display_shows(bench: Bench, shown: str, meant: Any) -> None:
    kind = all_kinds()["winding_insulation"]
    form = form_of(bench, kind, typed(bench, kind) | {"resistance_megohm": shown})
    assert form.is_valid(), form.errors
    assert form.entry().values["resistance_megohm"] == meant


def test_a_unit_of_something_else_is_no_figure(bench: Bench) -> None:
    kind = all_kinds()["winding_insulation"]
    assert "resistance_megohm" in form_of(bench, kind, typed(bench, kind) | {"resistance_megohm": "212 V"}).errors


def test_how_it_was_measured_is_repeated_for_the_same_family_and_what_was_found_never(bench: Bench) -> None:
    kind = all_kinds()["winding_insulation"]
    first = form_of(bench, kind, typed(bench, kind))
    assert first.is_valid(), first.errors
    add_record(first.entry())
    again = form_of(bench, kind)
    assert (again["test_v"].value(), again["seconds"].value()) == ("500", 60.0)
    assert again["resistance_megohm"].value() is None and again["temperature_c"].value() is None
    bench.sheet.__class__.objects.filter(pk=bench.sheet.pk).update(family=None)
    other = form_of(bench, kind)
    assert other["seconds"].value() is None and other["instrument_range"].value() is not None


def test_a_mistake_is_named_while_it_is_typed(bench: Bench, client_of: Any) -> None:
    kind = all_kinds()["machine_windings"]
    page = reverse("record_judge", args=[bench.sheet.pk, kind.code])
    wrong = typed(bench, kind) | {"temperature_c": "900", "uv_milliohm": ""}
    told = client_of(bench.ilse).post(page, wrong).content.decode()
    assert "900 °C can" in told and "Still needed:" in told and 'id="judged-line"' in told


def test_a_chosen_log_is_judged_when_it_is_kept(bench: Bench, client_of: Any) -> None:
    kind = all_kinds()["battery_capacity"]
    page = reverse("record_judge", args=[bench.sheet.pk, kind.code])
    told = client_of(bench.ilse).post(page, typed(bench, kind) | {"log_chosen": "yes"}).content.decode()
    assert "The log is read, and the reading judged, when it is kept." in told and "within" not in told
