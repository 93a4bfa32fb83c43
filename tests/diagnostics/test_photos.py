"""A display is photographed at the car and typed later: once, as taken then, with the picture's digest in the record."""

from __future__ import annotations

import datetime
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from diagnostics import photographing
from diagnostics.chain import first_break
from diagnostics.kinds import all_kinds
from diagnostics.models import DisplayPhoto, Record
from network.models import Event
from tests.bench import PROOF, Bench
from tests.cast import make_picture

WINDINGS = {
    "state": "dead", "subject": "1", "temperature_c": "24,5", "leads_milliohm": "0,4", "uv_milliohm": "93,6",
    "vw_milliohm": "93,9", "wu_milliohm": "95,4",
}  # fmt: skip


@pytest.fixture
def ilse(bench: Bench, client: Client) -> Client:
    client.force_login(bench.ilse.person)
    return client


def photographed(bench: Bench, minutes_ago: int = 20) -> DisplayPhoto:
    photo = photographing.photograph(bench.sheet, all_kinds()["machine_windings"], make_picture(), by=bench.ilse)
    photo.taken_at = timezone.now() - datetime.timedelta(minutes=minutes_ago)
    photo.save()
    return photo


def typed(bench: Bench, photo: DisplayPhoto, **more: Any) -> dict[str, Any]:
    return WINDINGS | {"photo": photo.pk, "instrument_range": bench.ranges["milliohm"].pk} | more


def form_of(bench: Bench) -> str:
    return reverse("record_new", args=[bench.sheet.pk, "machine_windings"])


def test_a_photograph_waits_on_the_sheet_and_leads_to_its_form(bench: Bench, ilse: Client) -> None:
    page = reverse("display_photo", args=[bench.sheet.pk, "machine_windings"])
    sent = {"picture": SimpleUploadedFile("display.jpg", make_picture().data, "image/jpeg")}
    assert "Photographed, to be typed" in ilse.post(page, sent, follow=True).content.decode()
    photo = DisplayPhoto.objects.get()
    shown = ilse.get(form_of(bench), {"photo": photo.pk}).content.decode()
    assert f'name="photo" value="{photo.pk}"' in shown and reverse("picture", args=[photo.picture_id]) in shown
    assert "Type the display that was photographed" in ilse.get(form_of(bench)).content.decode()


def test_what_is_typed_was_taken_when_the_photograph_was_and_holds_its_digest(bench: Bench, ilse: Client) -> None:
    bench.record("absence_of_voltage", PROOF)
    photo = photographed(bench)
    assert ilse.post(form_of(bench), typed(bench, photo)).status_code == 302
    record = Record.objects.get(kind="machine_windings")
    photo.refresh_from_db()
    assert (record.taken_at, photo.record, record.verdict) == (photo.taken_at, record, "within")
    assert record.body["photo"] == photo.picture.sha256 and first_break(bench.sheet) is None
    assert "The display that it was typed from" in ilse.get(reverse("record", args=[record.pk])).content.decode()
    assert not photographing.waiting(bench.sheet)


def test_what_waits_until_the_proof_has_ended_is_not_enough_data(bench: Bench, ilse: Client) -> None:
    ilse.post(form_of(bench), typed(bench, photographed(bench)))
    assert Record.objects.get().body["findings"][0]["reason"] == "absence_not_proved"


def test_it_is_typed_once(bench: Bench, ilse: Client) -> None:
    photo = photographed(bench)
    assert ilse.post(form_of(bench), typed(bench, photo)).status_code == 302
    again = ilse.post(form_of(bench), typed(bench, photo))
    assert again.status_code == 422 and "meanwhile" in again.content.decode()
    with pytest.raises(photographing.AlreadyTyped):
        photographing.typed_as(photo, Record.objects.get(), by=bench.ilse)
    assert not photographing.put_aside(photo, by=bench.ilse)


def test_a_blurred_one_is_put_aside(bench: Bench, ilse: Client) -> None:
    photo = photographed(bench)
    ilse.post(reverse("display_photo_put_aside", args=[photo.pk]))
    assert not photographing.waiting(bench.sheet) and Event.objects.filter(verb="display_put_aside").exists()
    assert ilse.post(form_of(bench), typed(bench, photo)).status_code == 422
