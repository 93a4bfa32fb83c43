"""What waits for a workshop stands on one page, the most pressing first; its jobs are found, sorted and carried away."""

from __future__ import annotations

import csv
import datetime
import io
from collections.abc import Callable, Iterator

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from jobs import following, listing, sharing
from jobs.models import Job
from jobs.waiting import waiting
from network.access import acting_for
from parts import sourcing
from tests.cast import (
    Cast,
    make_answer,
    make_enquiry,
    make_instrument,
    make_job,
    make_qualification,
    make_request,
)


@pytest.fixture
def acting(cast: Cast) -> Iterator[Cast]:
    with acting_for(cast.a):
        yield cast


def everything(cast: Cast) -> None:
    """One thing of each kind, and one of each that does not wait."""
    today = timezone.localdate()
    make_enquiry(cast.a)
    make_enquiry(cast.b)
    make_job(cast.technician)
    make_answer(make_request(cast.technician), cast.member_of_b)
    here, later = (make_request(cast.technician, number=f"MK {n}") for n in (1, 2))
    for request, days in ((here, 0), (later, 9)):
        sourcing.accept(answer=make_answer(request, cast.member_of_b, days_to_arrive=days), by=cast.technician)
    for days in (-3, 30, 200):
        make_qualification(cast.technician.person, ["inverter"], expires_on=today + datetime.timedelta(days=days))
    for due in (10, 200):
        make_instrument(cast.a, due_in_days=due)
    sharing.share_earlier(
        by=cast.technician, symptom="Stops", cause="Duct", repair_method="revised_part", family=None,
        part_kind="inverter", repaired_on=following.months_after(today, -6), known_as="book 118",
    )  # fmt: skip
    following.ask_due()


def test_one_of_each_kind_waits_and_nothing_else(acting: Cast) -> None:
    everything(acting)
    assert {kind.code: kind.count for kind in waiting(acting.technician)} == {
        "enquiry": 1, "arrived": 1, "answer": 1, "job": 1, "follow_up": 1, "qualification": 2, "calibration": 1,
    }  # fmt: skip


def test_the_page_says_how_much_and_what_comes_first(acting: Cast, client_of: Callable[..., Client]) -> None:
    everything(acting)
    html = client_of(acting.technician).get(reverse("waiting")).content.decode()
    assert "<strong>8 things</strong> wait for us." in html
    # What has run out presses most; a held job says for what.
    assert "has run out: owners no longer find you by it" in html.split('class="next"')[1].split("</div>")[0]
    assert "Hold: maker&#x27;s procedure: not yet signed." in html


def test_an_empty_morning_says_what_belongs_there(acting: Cast, client_of: Callable[..., Client]) -> None:
    html = client_of(acting.technician).get(reverse("waiting")).content.decode()
    assert "Nothing waits for us." in html and "Book a car in" in html


def test_a_hundred_of_each_cost_no_more_than_ten(acting: Cast) -> None:
    def cost() -> int:
        with CaptureQueriesContext(connection) as asked:
            kinds = waiting(acting.technician)
        assert all(len(kind.items) <= 6 for kind in kinds)
        return len(asked)

    for _n in range(10):
        make_enquiry(acting.a)
        make_job(acting.technician)
    few = cost()
    for _n in range(20):
        make_enquiry(acting.a)
        make_job(acting.technician)
    assert cost() == few


@pytest.mark.parametrize("words", ["1-LNR-208", "1lnr208", "JH2RC36", "terwold", "P0A94", "ln274100", "Vireo"])
def test_a_job_is_found_by_all_that_people_know_of_it(acting: Cast, words: str) -> None:
    job = make_job(acting.technician, vehicle={"vin": "JH2RC3605MM101581"})
    make_job(
        acting.technician, codes=(), customer={"name": "Piet Oosterling"},
        vehicle={"description": "Marsk Fjordling", "registration": "9-XYZ-1"},
    )  # fmt: skip
    make_request(acting.technician, job=job)
    assert [found.pk for found in listing.listed(words=words)] == [job.pk]


def test_it_is_filtered_and_sorted(acting: Cast) -> None:
    first, second = (make_job(acting.technician, customer={"name": name}) for name in ("Zoë Wouters", "Anneke Terwold"))
    Job.objects.filter(pk=first.pk).update(handed_over_at=timezone.now())
    assert [job.pk for job in listing.listed(by="customer")] == [second.pk, first.pk]
    assert [job.pk for job in listing.listed(show="bench")] == [second.pk]
    assert [job.pk for job in listing.listed(show="untold")] == [first.pk]


def test_a_cell_that_a_spreadsheet_would_reckon_is_escaped(acting: Cast, client_of: Callable[..., Client]) -> None:
    # OWASP, CSV injection: cells that begin with = + - @ or a tab are taken for formulas.
    for name in ("=1+1", "+49 30", "-2", "@SUM(A1)", "\tx"):
        make_job(acting.technician, customer={"name": name}, vehicle={"registration": '=HYPERLINK("a")'})
    answer = client_of(acting.technician).get(reverse("jobs_csv"))
    rows = list(csv.reader(io.StringIO(answer.content.decode())))
    assert len(rows) == 6 and not [cell for row in rows for cell in row if cell[:1] in tuple("=+-@\t")]
    assert answer["Content-Disposition"].startswith("attachment")


def test_the_table_holds_what_the_list_was_asked_for(acting: Cast, client_of: Callable[..., Client]) -> None:
    make_job(acting.technician)
    make_job(acting.technician, customer={"name": "Piet Oosterling"}, vehicle={"description": "Marsk"}, codes=())
    text = client_of(acting.technician).get(reverse("jobs_csv"), {"q": "oosterling"}).content.decode()
    assert "Oosterling" in text and "Terwold" not in text
