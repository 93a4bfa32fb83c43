"""What a form says of a mistake: the sentence names the field and says what to write, whichever form it is.

Expected sentences are the project's own words; the days are those of ISO 8601 and the day first (common practice, no source).
"""

import datetime
import importlib
import pkgutil
from decimal import Decimal
from html import unescape
from typing import Any

import pytest
from django import forms
from django.forms.forms import BaseForm
from django.template.loader import render_to_string

import diagnostics
import jobs
import network
import parts
from network.access import NobodyActs
from network.form_fields import CommaField, WholeField

DJANGOS = ("This field is required", "Enter a", "Select a valid choice", "Ensure this value", "No file was submitted")


class Every(forms.Form):
    words = forms.CharField(label="Complaint", max_length=5)
    count = forms.IntegerField(label="Odometer", min_value=0, max_value=10)
    share = forms.DecimalField(label="Share of 5 %", min_value=0)
    day = forms.DateField(label="In date until")
    hour = forms.DateTimeField(label="When")
    mail = forms.EmailField(label="E-mail")
    one = forms.ChoiceField(label="Does it still run?", choices=[("a", "A")])
    many = forms.MultipleChoiceField(label="It covers", choices=[("a", "A")])
    tick = forms.BooleanField(label="Key away")
    file = forms.FileField(label="Log")
    own = forms.CharField(error_messages={"required": "Press one of the answers."})


def said(form: BaseForm) -> dict[str, str]:
    return {name: str(errors[0]) for name, errors in form.errors.items()}


def test_an_empty_field_is_named_with_what_to_do() -> None:
    assert said(Every({})) == {
        "words": "“Complaint” is empty. Write it here.",
        "count": "“Odometer” is empty. Type the figure.",
        "share": "“Share of 5 %” is empty. Type the figure.",
        "day": "“In date until” is empty. Give the day.",
        "hour": "“When” is empty. Give the day and the hour.",
        "mail": "“E-mail” is empty. Write it here.",
        "one": "Nothing is chosen at “Does it still run”. Choose one.",
        "many": "Nothing is ticked at “It covers”. Tick one at least.",
        "tick": "“Key away” isn’t ticked. Tick it once it is so.",
        "file": "No file is chosen at “Log”. Choose one.",
        "own": "Press one of the answers.",
    }


def test_what_cannot_be_is_told_with_what_can() -> None:
    wrong = {"words": "too long", "count": "12,5", "share": "-1", "day": "soon", "hour": "soon", "mail": "me"}
    told = said(Every(wrong | {"one": "x", "many": ["x"]}))
    assert told["words"] == "Write it shorter: 5 characters at most, these are 8."
    assert told["count"] == "This isn’t a whole number. Type digits alone, without comma, point or unit."
    assert told["share"] == "It can’t be -1: the least is 0."
    assert told["day"] == "This isn’t a day. Write it like 31/03/2026 or 2026-03-31."
    assert told["hour"] == "This isn’t a time. Write day and hour like 2026-03-31 14:30."
    assert told["mail"] == "This isn’t an e-mail address. Write it like name@workshop.example."
    assert told["one"] == "This can’t be chosen, or no longer. Choose from the list again."
    assert told["many"] == "One of these can’t be chosen, or no longer. Choose from the list again."
    assert said(Every({"count": "99"}))["count"] == "It can’t be 99: the most is 10."


def _forms() -> list[type[BaseForm]]:
    """Every form of the project."""
    for app in (network, diagnostics, parts, jobs):
        for found in pkgutil.walk_packages(app.__path__, f"{app.__name__}."):
            if "forms" in found.name or found.name.endswith("_form"):
                importlib.import_module(found.name)
    seen: list[type[BaseForm]] = []
    waiting = [BaseForm]
    while waiting:
        above = waiting.pop()
        waiting += above.__subclasses__()
        seen += [
            one
            for one in above.__subclasses__()
            if one.__module__.split(".")[0] in ("network", "diagnostics", "parts", "jobs")
        ]
    return seen


@pytest.mark.django_db
def test_no_form_of_the_project_leaves_djangos_sentence_for_an_empty_field() -> None:
    looked_at = 0
    for form in _forms():
        made: Any = form
        try:
            made = form({})
            told = said(made).values()
        except (TypeError, NobodyActs):  # it is made for a row, or asks for private ones
            continue
        looked_at += 1
        assert not [one for one in told if one.startswith(DJANGOS)], form
    assert looked_at > 20


@pytest.mark.parametrize(
    "text", ["2026-12-03", "03/12/2026", "3.12.2026", "03-12-2026", "3 Dec 2026", "3 December 2026"]
)
def test_a_day_is_read_day_first_or_as_the_standard_writes_it(text: str) -> None:
    assert forms.DateField().clean(text) == datetime.date(2026, 12, 3)


def test_the_month_is_never_read_first() -> None:
    with pytest.raises(forms.ValidationError):
        forms.DateField().clean("12/31/2026")


def test_the_summary_names_a_field_once() -> None:
    html = unescape(render_to_string("_parts/errors.html", {"form": Every({"count": "12,5"})}))
    assert '<a href="#id_words">“Complaint” is empty. Write it here.</a>' in html
    assert "Does it still run?" not in html
    assert '<a href="#id_count">Odometer</a>: This isn’t a whole number.' in html


def test_the_summary_has_one_line_for_a_field_with_several_mistakes() -> None:
    form = Every({})
    form.errors["file"] = form.error_class(["Line 5: the voltage is empty.", "Line 9: the current is empty."])
    html = unescape(render_to_string("_parts/errors.html", {"form": form}))
    assert '<li><a href="#id_file">Log</a>: Line 5: the voltage is empty.<br>Line 9: the current is empty.</li>' in html


@pytest.mark.parametrize("text", ["128400", " 128 400", "128’400", "128\u202f400"])
def test_thousands_may_be_grouped(text: str) -> None:
    assert WholeField().clean(text) == 128400


@pytest.mark.parametrize("text", ["6.5", "6,5", " 6,5 "])
def test_hours_of_work_take_a_comma(text: str) -> None:
    assert CommaField(max_digits=5, decimal_places=1).clean(text) == Decimal("6.5")


@pytest.mark.parametrize("text", ["128,4", "128.400,5", "km", "12x"])
def test_what_is_no_whole_number_is_refused_and_stays_to_be_seen(text: str) -> None:
    """The field is one of text: a browser hands over what was typed, so that it can be shown again."""

    class Asked(forms.Form):
        odometer = WholeField(min_value=0)

    form = Asked({"odometer": text})
    assert not form.is_valid()
    assert f'value="{text}"' in str(form) and 'type="number"' not in str(form)
