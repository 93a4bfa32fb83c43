"""Labels open where one goes on, for their own workshop only; a bay holds one car, a car stands in one bay."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from diagnostics.models import Sheet
from jobs import bays
from jobs.models import Bay, Job
from network.models import Event
from tests import cast as made
from tests.bench import Bench, acting


@pytest.fixture
def bench(db: None) -> Iterator[Bench]:
    with acting() as built:
        yield built


@pytest.fixture
def ours(bench: Bench, client: Client) -> Client:
    client.force_login(bench.ilse.person)
    return client


def a_bay(bench: Bench, name: str = "Bay 1") -> Bay:
    return bays.enter(Bay(name=name), by=bench.ilse)


def test_a_bays_label_opens_the_job_that_stands_in_it_and_else_asks_what_comes_in(bench: Bench, ours: Client) -> None:
    bay = a_bay(bench)
    page = reverse("bay", args=[bay.pk])
    assert "is empty" in ours.get(page).content.decode()
    assert ours.post(page, {"job": bench.job.pk}).url == reverse("job", args=[bench.job.pk])
    assert ours.get(page).url == reverse("job", args=[bench.job.pk])
    Job.objects.filter(pk=bench.job.pk).update(handed_over_at=timezone.now())
    assert "is empty" in ours.get(page).content.decode()


def test_a_car_stands_in_one_bay_and_a_bay_holds_one_car(bench: Bench) -> None:
    first, second = a_bay(bench), a_bay(bench, "Bay 2")
    other = made.make_job(bench.ilse, bench.cast.family)
    assert bays.put_in(first, bench.job, by=bench.ilse) and bays.put_in(second, bench.job, by=bench.ilse)
    assert not bays.put_in(second, other, by=bench.ilse)
    assert [bay.job for bay in Bay.objects.order_by("name")] == [None, bench.job]
    assert bays.put_in(first, other, by=bench.ilse) and not bays.put_in(first, bench.job, by=bench.ilse)
    assert [bay.job for bay in Bay.objects.order_by("name")] == [other, bench.job]  # nobody was put out
    assert bays.clear(first, by=bench.ilse) and not bays.clear(first, by=bench.ilse)
    assert Event.objects.filter(verb__startswith="bay_").count() == 6


def test_a_car_that_is_booked_in_from_a_bays_page_stands_there(bench: Bench, ours: Client) -> None:
    bay = a_bay(bench)
    typed = {"customer_name": "Piet Oosterling", "description": "Vireo 2016", "complaint": "It stops."}
    answer = ours.post(reverse("job_new") + f"?bay={bay.pk}", typed)
    assert answer.status_code == 302, answer.content.decode()
    bay.refresh_from_db()
    assert bay.job == Job.objects.order_by("-pk").first() != bench.job


def test_an_instruments_label_leads_to_a_new_record_with_it_chosen(bench: Bench, ours: Client) -> None:
    used = bench.ranges["milliohm"]
    page = ours.get(reverse("instrument", args=[used.instrument_id])).content.decode()
    assert "Measure with it" in page
    asked = {"sheet": bench.sheet.pk, "kind": "machine_windings"}
    answer = ours.get(reverse("instrument_measure", args=[used.instrument_id]), asked, follow=True)
    assert re.search(rf'<option value="{used.pk}"[^>]* selected', answer.content.decode())


def test_one_sheet_of_labels_holds_bays_instruments_and_parts_each_with_its_address(bench: Bench, ours: Client) -> None:
    bay, used = a_bay(bench), bench.ranges["V"]
    sheet = Sheet(title="Inverter", part_number="LN 27 410-0", part_serial="33871", made_by=bench.ilse.person)
    sheet.save()
    chosen = {"instruments": used.instrument_id, "bays": bay.pk, "parts": sheet.pk, "serial": "A&B 7", "paper": "a4"}
    text = ours.get(reverse("labels"), chosen).content.decode()
    addresses = re.findall(r"<title>(.*?)</title>", text)[1:]
    assert [address.removeprefix(settings.BASE_URL).replace("&amp;", "&") for address in addresses] == [
        f"/bays/{bay.pk}/", f"/instruments/{used.instrument_id}/",
        "/sheets/of-a-part/?number=LN+27+410-0&serial=33871", "/sheets/of-a-part/?serial=A%26B+7",
    ]  # fmt: skip
    assert text.count('class="label"') == 4 and 'class="labels a4"' in text


def test_nothing_chosen_says_what_to_do(ours: Client) -> None:
    answer = ours.get(reverse("labels"), {"paper": "a4"})
    assert answer.status_code == 422 and "Choose at least one thing" in answer.content.decode()


def test_another_workshops_label_opens_what_a_missing_one_opens(bench: Bench, client: Client) -> None:
    bay = a_bay(bench, "Bay zqx")
    bays.put_in(bay, bench.job, by=bench.ilse)
    made.make_sheet(bench.ilse, "Inverter zqx", part_number="LN 27", part_serial="33871")
    stranger = made.make_member(made.make_workshop("Atelier Fremd", region=bench.workshop.region))
    client.force_login(stranger.person)
    seen = client.get(reverse("bay", args=[bay.pk]))
    missing = client.get(reverse("bay", args=[987_654_321]))
    bodies = [
        re.sub(r"(csrfmiddlewaretoken\W+value=|CSRFToken\W+)[\w\"]+", "", one.content.decode())
        for one in (seen, missing)
    ]
    assert seen.status_code == missing.status_code == 404 and bodies[0] == bodies[1] and "zqx" not in bodies[0]
    part = client.get(reverse("part_sheets"), {"number": "LN 27", "serial": "33871"}).content.decode()
    assert "Nothing was measured on this part yet" in part and "zqx" not in part
