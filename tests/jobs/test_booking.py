"""Booking in: the first look stops the work, the VIN is checked, two who change the same job see both texts.

Outside sources: check digit of a VIN, 49 CFR 565.15(c) (table V, its sample number); that it is no duty elsewhere,
ISO 3779, from memory. Quarantine, temperature and driven wheels off the ground: common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from jobs import booking, working
from jobs.models import Customer, Job, SignedEntry, Vehicle, WatchedTemperature
from tests.bench import Bench
from tests.network.test_pictures import written

TYPED: dict[str, Any] = {
    "customer_name": "Piet Oosterling", "description": "Vireo 2016", "complaint": "It stops.", "belongings": "seat",
}  # fmt: skip
SAMPLE = "1G4AH59H45G118341"  # the sample of 49 CFR 565.15(c): its digit at position 9 is 4


def book(technician: Client, **typed: Any) -> Any:
    return technician.post(reverse("job_new"), TYPED | typed)


def newest() -> Job:
    return Job.objects.select_related("vehicle__customer").order_by("-pk")[0]


def test_what_was_asked_and_agreed_stands_on_the_sheet(technician: Client) -> None:
    answer = book(
        technician, recalls="open", warranty="over", asked_note="Lanner desk", may_dismantle="on", old_parts_back="on",
        can_drive="no", driven_wheels="front",
    )  # fmt: skip
    page = technician.get(answer["Location"]).content.decode()
    for words in ("one is open", "it is over", "Lanner desk", "wanted back", "Front wheels are driven", "seat"):
        assert words in page, words
    assert (newest().may_dismantle, newest().may_drive_live) == (True, False)


@pytest.mark.parametrize(
    ("vin", "status", "said"),
    [
        (SAMPLE, 302, ""),
        (SAMPLE.replace("45G", "55G"), 422, "call for"),
        ("JH2RC3601MM101581", 302, "Outside North America"),
        ("JH2RC36", 422, "7 characters"),
        ("JH2RC3605MM1O1581", 422, "position 13"),
    ],
)
def test_a_vin_is_checked_and_only_remarked_on_outside_north_america(
    technician: Client, vin: str, status: int, said: str
) -> None:
    answer = technician.post(reverse("job_new"), TYPED | {"vin": vin}, follow=status == 302)
    assert (answer.redirect_chain[0][1] if status == 302 else answer.status_code) == status
    assert said in answer.content.decode()


def test_what_the_first_look_finds_stops_everything_at_once(bench: Bench, technician: Client) -> None:
    assert "nobody in it" in technician.get(reverse("job_new")).content.decode()
    answer = book(technician, triage=["smoke", "heat"])
    assert answer["Location"] == reverse("job_quarantine", args=[newest().pk])
    assert "Stop:" in technician.get(reverse("job", args=[newest().pk])).content.decode()
    with pytest.raises(working.CannotBeSigned, match="quarantine"):
        working.sign(job=newest(), step="makers_procedure", words="14-200", good=True, by=bench.ilse)


def in_quarantine(bench: Bench) -> Job:
    return working.book_in(
        by=bench.ilse, customer=Customer(name="A"), vehicle=Vehicle(description="L"), complaint="crash",
        triage=["crash"],
    )  # fmt: skip


def test_a_quarantine_ends_by_a_qualified_person_after_two_temperatures(bench: Bench) -> None:
    job = in_quarantine(bench)
    with pytest.raises(working.CannotBeSigned, match="at least twice"):
        booking.end_quarantine(job=job, words="looked at", by=bench.ilse)
    for celsius in (18.0, 18.5):
        booking.watch(job=job, celsius=celsius, place="floor", by=bench.ilse)
    bench.bram.person.qualifications.all().delete()
    with pytest.raises(working.CannotBeSigned, match="qualification"):
        booking.end_quarantine(job=job, words="looked at", by=bench.bram)
    booking.end_quarantine(job=job, words="Document 14-9, day 5", by=bench.ilse)
    assert not Job.objects.get(pk=job.pk).in_quarantine
    assert SignedEntry.objects.get(job=job).step == "quarantine_ended"


def test_a_rising_temperature_says_what_to_do() -> None:
    readings = [WatchedTemperature(celsius=celsius) for celsius in (18.0, 17.5, 21.0)]
    assert "risen by 3.5 K" in booking.how_it_goes(readings)
    assert "No rise" in booking.how_it_goes(readings[:2])


def test_what_was_found_once_cant_be_unticked_and_more_begins_it_anew(bench: Bench, technician: Client) -> None:
    job = in_quarantine(bench)
    change = TYPED | {"seen": "1", "triage": []}
    technician.post(reverse("job_change", args=[job.pk]), change)
    assert Job.objects.get(pk=job.pk).triage == ["crash"]
    for celsius in (18.0, 18.5):
        booking.watch(job=job, celsius=celsius, place="floor", by=bench.ilse)
    booking.end_quarantine(job=job, words="Document 14-9", by=bench.ilse)
    technician.post(reverse("job_change", args=[job.pk]), change | {"seen": "2", "triage": ["smoke"]})
    assert Job.objects.get(pk=job.pk).in_quarantine


def test_the_second_of_two_sees_both_texts_before_anything_is_overwritten(bench: Bench, technician: Client) -> None:
    url = reverse("job_change", args=[bench.job.pk])
    assert technician.post(url, TYPED | {"seen": "1", "belongings": "umbrella"}).status_code == 302
    page = technician.post(url, TYPED | {"seen": "1", "belongings": "child seat"})
    text = page.content.decode()
    assert page.status_code == 409 and "umbrella" in text and "child seat" in text and "Ilse Vandamme" in text
    assert Job.objects.get(pk=bench.job.pk).belongings == "umbrella"
    again = TYPED | {"seen": "2", "belongings": "child seat"}
    assert 'name="seen" value="2"' in text and technician.post(url, again).status_code == 302
    assert Job.objects.get(pk=bench.job.pk).belongings == "child seat"


def test_a_wrong_file_is_refused_with_a_sentence_and_nothing_typed_is_lost(technician: Client) -> None:
    page = book(technician, belongings="umbrella", pictures=SimpleUploadedFile("car.svg", b"<svg/>"))
    text = page.content.decode()
    assert page.status_code == 422 and "car.svg" in text and 'value="umbrella"' in text


def test_photos_stand_on_the_sheet(technician: Client) -> None:
    answer = book(technician, pictures=SimpleUploadedFile("car.jpg", written()))
    assert newest().pictures.count() == 1
    assert reverse("picture", args=[newest().pictures.get().pk]) in technician.get(answer["Location"]).content.decode()
