"""Trouble codes on a job: typed, pasted or as bytes; before and after; with the workshop's own words.

Outside source: the worked reply of ISO 14229-1, 11.3.5.3, tables 295 and 296 (codes 0A9B-17 status 24 and 0805-11
status 2F), and its names of the status bits; the bytes of a stored-codes reply as in an OBD interface chip's data sheet.
"""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from jobs import codes, sharing
from jobs.models import CodeDescription, CodeReading, JobCode
from tests.bench import Bench

ISO_14229_REPLY = "59 02 7F 0A 9B 17 24 08 05 11 2F 25 22 1F 00"


def read(technician: Client, bench: Bench, **typed: str) -> Any:
    fields = {"stage": "found", "form": "text", "text": ""}
    return technician.post(reverse("job_codes", args=[bench.job.pk]), fields | typed)


def names(stage: str = "found") -> list[str]:
    return [str(code) for code in JobCode.objects.filter(reading__stage=stage).order_by("pk")]


def test_a_status_reply_is_read_with_its_bits_as_words(bench: Bench, technician: Client) -> None:
    read(technician, bench, form="status", text=ISO_14229_REPLY)
    assert names() == ["P0A94", "P0A9B-17", "P0805-11"]
    page = technician.get(reverse("job_codes", args=[bench.job.pk])).content.decode()
    assert "pending; test failed since last clear" in page  # 24 hexadecimal: bits 2 and 5
    assert "powertrain; the standard defines it" in page
    assert f"{reverse('outcomes')}?q=P0A9B" in page


@pytest.mark.parametrize(
    ("form", "text", "found"),
    [
        ("stored_can", "43 02 01 33 C1 00 AA", ["P0133", "U0100"]),
        ("stored_plain", "43 01 33 00 00 00 00", ["P0133"]),
        ("text", "From the tool:\n  P0A78-1C  performance\n  C1201 see maker", ["P0A78-1C", "C1201"]),
    ],
)
def test_a_reading_is_typed_pasted_or_as_bytes(
    bench: Bench, technician: Client, form: str, text: str, found: list[str]
) -> None:
    assert read(technician, bench, form=form, text=text).status_code == 302
    assert names() == ["P0A94", *found]
    assert CodeReading.objects.last().text.split() == text.split()


@pytest.mark.parametrize(
    ("form", "text", "sentence"),
    [
        ("text", "nothing of the kind", "No trouble code stands in it"),
        ("status", "59 02", "The reply must hold 59 02"),
        ("stored_can", "43 02 01 33", "The reply must hold the count and 2 pairs"),
        ("stored_can", "zz", "whole bytes in hexadecimal"),
        ("nonsense", "P0A94", "can’t be chosen"),
    ],
)
def test_what_cant_be_read_is_refused_with_a_sentence_and_stays_typed(
    bench: Bench, technician: Client, form: str, text: str, sentence: str
) -> None:
    page = read(technician, bench, form=form, text=text)
    assert page.status_code == 422 and sentence in page.content.decode() and text in page.content.decode()


def test_before_and_after_stand_side_by_side(bench: Bench, technician: Client) -> None:
    read(technician, bench, text="P0A78")
    assert {one.after for one in codes.compared(bench.job)} == {None}
    read(technician, bench, stage="after", text="P0A78 U0100")
    read(technician, bench, stage="after", text="U0100")
    stands = {str(one.line.code): (one.found, one.after) for one in codes.compared(bench.job)}
    assert stands == {"P0A94": (True, False), "P0A78": (True, False), "U0100": (False, True)}


def test_none_stored_is_a_reading_too(bench: Bench, technician: Client) -> None:
    read(technician, bench, stage="after", text="", none_stored="on")
    assert {one.after for one in codes.compared(bench.job)} == {False}


def test_an_empty_form_is_no_reading(bench: Bench, technician: Client) -> None:
    """A button pressed by mistake says nothing of the car: that no code is stored is ticked."""
    page = read(technician, bench, stage="after", text=" ")
    assert page.status_code == 422 and "tick that no code is stored" in page.content.decode()
    page = read(technician, bench, stage="after", text="P0A94", none_stored="on")
    assert page.status_code == 422 and "Take the tick away" in page.content.decode()
    assert {one.after for one in codes.compared(bench.job)} == {None}


def test_the_own_description_is_kept_for_next_time(bench: Bench, technician: Client) -> None:
    code = JobCode.objects.get()
    typed = {"detail": "1c", "words": "Voltage low at the precharge", "freeze_frame": "link voltage 402 V"}
    technician.post(reverse("code_note", args=[code.pk]), typed)
    code.refresh_from_db()
    assert (str(code), code.freeze_frame) == ("P0A94-1C", "link voltage 402 V")
    read(technician, bench, stage="after", text="P0A94-1C")
    page = technician.get(reverse("job_codes", args=[bench.job.pk])).content.decode()
    assert page.count("Voltage low at the precharge") == 1 and CodeDescription.objects.count() == 1


def test_a_detail_number_that_stands_there_already_is_refused(bench: Bench, technician: Client) -> None:
    read(technician, bench, text="P0A78-11 P0A78-22")
    code = JobCode.objects.get(detail="11")
    page = technician.post(reverse("code_note", args=[code.pk]), {"detail": "22"})
    assert page.status_code == 422 and "already" in page.content.decode()


def test_only_codes_as_found_are_shared_each_once(bench: Bench, technician: Client) -> None:
    read(technician, bench, text="P0A94 P0A78")
    read(technician, bench, stage="after", text="U0100")
    assert sharing.draft(bench.job)["codes"] == ["P0A78", "P0A94"]
