"""A calibration date and an accuracy are answered for by name: each change of an instrument is an event on its page."""

from __future__ import annotations

from collections.abc import Callable

from django.test import Client
from django.urls import reverse

from diagnostics.models import Instrument
from network.models import Event
from tests.bench import Bench


def test_who_entered_and_redated_an_instrument_stands_on_its_page(
    bench: Bench, client_of: Callable[..., Client]
) -> None:
    client = client_of(bench.ilse.person)
    typed = {"name": "Bridge 3", "serial": "B3-1", "calibration_due": "2027-02-01"}
    accuracy = {"unit": "ohm", "highest": "6", "percent_of_reading": "0.1", "counts": "2", "resolution": "0.001"}
    assert client.post(reverse("instruments"), typed | accuracy).status_code == 302
    page = reverse("instrument", args=[_key("Bridge 3")])
    other_date = typed | {"calibration_due": "2028-02-01", "what": "instrument"}
    assert client_of(bench.bram.person).post(page, other_date).status_code == 302
    assert client.post(page, accuracy | {"highest": "60", "what": "range"}).status_code == 302

    told = client.get(page).content.decode().partition("Who changed what")[2]
    lines = [line.partition("</li>")[0] for line in told.split("<li>")[1:5]]
    wanted = [
        ("60 ohm", bench.ilse), ("1 February 2028", bench.bram), ("6 ohm", bench.ilse), ("1 February 2027", bench.ilse),
    ]  # fmt: skip
    for line, (words, who) in zip(lines, wanted, strict=True):
        assert words in line and who.person.name in line


def test_what_was_refused_is_no_event(bench: Bench, client_of: Callable[..., Client]) -> None:
    used = bench.ranges["V"].instrument
    before = Event.objects.count()
    page = reverse("instrument", args=[used.pk])
    answer = client_of(bench.ilse.person).post(page, {"name": "", "serial": "x", "what": "instrument"})
    assert answer.status_code == 422 and Event.objects.count() == before


def _key(name: str) -> int:
    return Instrument.objects.get(name=name).pk
