"""The shared pieces of pages: what they say, and that machines and keyboards find it."""

import re

import pytest
from django import forms
from django.core.paginator import Paginator
from django.template.loader import render_to_string
from django.test import RequestFactory

from jobs import ring


class Reading(forms.Form):
    pair = forms.DecimalField(label="U–V", help_text="Highest figure within ten seconds.", max_value=900)
    pair.unit, pair.reading = "milliohm", True
    signs = forms.MultipleChoiceField(
        label="Seen", choices=[("c", "crash"), ("f", "flood")], widget=forms.CheckboxSelectMultiple
    )
    agreed = forms.BooleanField(label="The owner agrees")


@pytest.fixture
def wrong() -> Reading:
    return Reading({"pair": "950"})


@pytest.mark.parametrize(
    ("verdict", "words"),
    [
        ("within", "within the entered limit"),
        ("outside", "outside the entered limit"),
        ("unproven", "not enough data"),
        ("unmeasured", "not yet measured"),
    ],
)
def test_a_verdict_is_a_word_and_a_shape(verdict, words):
    html = render_to_string("_parts/verdict.html", {"verdict": verdict})
    assert words in html
    assert 'aria-hidden="true"' in html
    big = render_to_string("_parts/verdict.html", {"verdict": verdict, "big": True})
    assert words.capitalize() in big


def test_a_field_with_an_error_names_its_error_and_its_help(wrong):
    html = wrong["pair"].as_field_group()
    named = re.search(r'<input[^>]*aria-describedby="([^"]+)"', html).group(1).split()
    assert [f'id="{name}"' in html for name in named] == [True, True]
    assert 'aria-invalid="true"' in html
    assert "It can’t be 950: the most is 900." in html


def test_a_reading_says_its_unit_to_eye_and_ear(wrong):
    html = wrong["pair"].as_field_group()
    assert 'aria-hidden="true">milliohm</span>' in html
    label = re.search(r"<label.*?</label>", html, flags=re.DOTALL).group(0)
    assert "in milliohm" in label
    assert 'for="id_pair"' in label


def test_choices_stand_in_a_fieldset_with_a_legend(wrong):
    html = wrong["signs"].as_field_group()
    assert html.count("<fieldset") == html.count("<legend") == 1
    assert html.count('type="checkbox"') == 2


def test_a_single_tick_has_its_label_behind_it(wrong):
    html = wrong["agreed"].as_field_group()
    assert html.index('type="checkbox"') < html.index('<label for="id_agreed"')


def test_the_summary_of_errors_leads_to_each_field(wrong):
    html = render_to_string("_parts/errors.html", {"form": wrong})
    assert "3 things need attention" in html
    assert re.findall(r'href="#([^"]+)"', html) == ["id_pair", "id_signs", "id_agreed"]


def test_a_form_without_errors_has_no_summary():
    assert render_to_string("_parts/errors.html", {"form": Reading()}).strip() == ""


def test_the_ring_says_how_far_it_is():
    html = render_to_string("_parts/ring.html", {"ring": ring.build(segments=["met", "met", "next", "open"])})
    assert 'aria-label="2 of 4 requirements met"' in html
    assert "closing" not in html
    assert html.count("<path") == 4


def test_a_closed_ring_is_drawn_closed_and_names_what_was_waived():
    html = render_to_string("_parts/ring.html", {"ring": ring.build(segments=["met", "waived"])})
    assert "1 of them waived" in html
    assert html.count('class="closing"') == 2


def test_each_requirement_says_its_state_in_words():
    listed = [{"number": 1, "state": "met", "label": "Cause named"}, {"number": 2, "state": "next", "label": "Fan"}]
    html = " ".join(render_to_string("_parts/requirement_list.html", {"requirements": listed}).split())
    assert "1, met:" in html
    assert "2, open:" in html


def test_pages_of_a_list_keep_the_other_parameters():
    request = RequestFactory().get("/jobs/?q=fan&page=2")
    context = {"page": Paginator(range(100), 25).page(2), "request": request}
    html = render_to_string("_parts/pager.html", context)
    assert "?q=fan&amp;page=1" in html
    assert "?q=fan&amp;page=3" in html
    assert "26 to 50 of 100" in html


def test_a_list_of_one_page_has_no_pager():
    assert render_to_string("_parts/pager.html", {"page": Paginator(range(9), 25).page(1)}).strip() == ""


def test_the_high_voltage_band_reads_its_first_sentence_first():
    html = render_to_string("_parts/hv_band.html", {"first": "The pack stays live.", "rest": "Gloves on."})
    assert "<strong>The pack stays live.</strong> Gloves on." in html


def test_proof_is_a_dot_while_valid_and_a_diamond_when_it_runs_out_soon():
    valid = render_to_string("_parts/proof_line.html", {"today": 34, "state": "valid", "until_text": "runs to May"})
    soon = render_to_string("_parts/proof_line.html", {"today": 93, "state": "soon", "until_text": "runs to May"})
    assert "<circle" in valid
    assert "<circle" not in soon
    # By hand: 34 % of the way from 1 to 174.5.
    assert 'cx="59.99"' in valid


@pytest.mark.parametrize("template", ["_base.html", "404.html", "403.html", "400.html", "500.html"])
def test_a_page_of_the_frame_holds_nothing_that_the_policy_forbids(template):
    html = render_to_string(template)
    assert re.findall(r"<style|\sstyle=|\son\w+=", html) == []
    assert all("src=" in script for script in re.findall(r"<script[^>]*>", html))
    assert html.count("<h1") == 1


def test_the_page_of_a_fault_needs_nothing_to_stand_on():
    html = render_to_string("500.html")
    assert "Something failed in the portal." in html
    assert "{{" not in html


def test_the_frame_has_a_way_past_itself_and_ends_with_the_caution():
    html = render_to_string("_base.html")
    assert html.index('class="skip" href="#page"') < html.index("<header")
    assert 'id="page"' in html
    assert "a licensed person decide." in html


def test_the_present_room_is_marked_in_both_menus():
    rooms = [{"url": "/a/", "label": "Jobs", "current": True}, {"url": "/b/", "label": "Board", "current": False}]
    html = render_to_string("_base.html", {"navigation": rooms})
    assert html.count('aria-current="page"') == 2
    assert html.count('href="/b/"') == 2


def test_a_form_that_the_server_accepted_is_named_for_clearing():
    html = render_to_string("_base.html", {"kept_clear": ["job-7"]})
    assert '<meta name="kept-clear" content="job-7">' in html
