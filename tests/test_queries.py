"""How often a page asks the database: at most twelve times, and no more often where there are more rows.

Outside source: none; twelve is the project's own goal. Counted is what a page reads with everybody signed in.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from django.db import connection, transaction
from django.http import HttpResponse
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from jobs import working
from network.access import acting_for
from tests import cast as made
from tests.access_matrix import ROWS
from tests.access_matrix_programs import PROGRAMS
from tests.access_scene import Scene, build, made_finished, share
from tests.access_walk import Row, Walker, rows_of

pytestmark = [pytest.mark.django_db, pytest.mark.once]
MOST = 12
ROLES = ("technician", "manager", "administrator")
# Three of them are of every page: the session, the person with notices and second factor, the acting membership.
MORE = {
    "job": 22,  # all that a job holds, thirteen sorts of rows, and with six more the form of the record that comes next
    "waiting": 16,  # eight sorts of things that wait, out of every room, and the ring of each car
    "find": 16,  # outwards ring by ring: those in the circle, and where they are few the nearest beyond it
    "number": 14,  # its families, chain, supply, revisions, their photos, sightings, corrections, requests
    "request": 14,  # its answers compared, what is known of the number, questions, and the part's way
    "report": 13,  # the ring and the battery as they stand; once the car is handed over both are kept with the job
    "report_pdf": 13,
    "car_report": 13,
    "car_report_pdf": 13,
}


SEVERAL = ("-", "job_of_a", "fitting_of_a", "list_of_fitting", "family", "number")


@pytest.fixture(scope="module")
def walker(django_db_setup: None, django_db_blocker: Any) -> Iterator[Walker]:
    with django_db_blocker.unblock(), transaction.atomic():
        yield Walker(build())
        transaction.set_rollback(True)


def pages(name: str, role: str) -> list[Row]:
    return [row for row in rows_of(name) if row.method == "GET" and row.answers[role] == "200"]


def asked(walker: Walker, role: str, name: str, row: Row) -> int:
    """How many queries the answer took, without the marks of transactions."""
    with CaptureQueriesContext(connection) as queries:
        answer: HttpResponse = walker.ask(role, name, row.method, row.object, row.payload)
    assert answer.status_code == 200
    return sum("SAVEPOINT" not in query["sql"] for query in queries.captured_queries)


@pytest.mark.parametrize("role", ROLES)
def test_a_page_asks_at_most_twelve_times(role: str, walker: Walker) -> None:
    counts = {(name, str(row)): asked(walker, role, name, row) for name in ROWS for row in pages(name, role)}
    over = {page: count for page, count in counts.items() if count > MORE.get(page[0], MOST)}
    assert len(counts) > 20 and not over


def test_no_page_is_let_ask_more_often_than_it_does(walker: Walker) -> None:
    most = {name: max(asked(walker, role, name, row) for role in ROLES for row in pages(name, role)) for name in MORE}
    assert most == MORE


def test_pages_ask_as_often_where_there_are_more_rows(walker: Walker) -> None:
    """Every page that shows no single row, and those of one job, with what a workshop has once, and then four times."""
    lists = [(name, row) for name in ROWS for row in pages(name, "technician") if row.object in SEVERAL]
    before = {(name, str(row)): asked(walker, "technician", name, row) for name, row in lists}
    for number in range(3):
        more_rows(walker.scene, number)
    after = {(name, str(row)): asked(walker, "technician", name, row) for name, row in lists}
    grown = {page: (before[page], count) for page, count in after.items() if count > before[page]}
    assert len(before) > 30 and not grown


def test_programs_are_answered_by_at_most_twelve_and_as_often_where_there_are_more_rows(walker: Walker) -> None:
    """Every address that a program reads with a token."""
    token = made.make_token(walker.scene.a.member)[1]
    rows = {name: row for name in PROGRAMS for row in rows_of(name)[:1]}

    def counts() -> dict[str, int]:
        found = {}
        for name, row in rows.items():
            url = reverse(name, kwargs=walker.scene.objects[row.object])
            with CaptureQueriesContext(connection) as queries:
                answer = Client().get(url, HTTP_AUTHORIZATION=f"Bearer {token}")
            if answer.status_code != 405:
                assert answer.status_code == 200, name
                found[name] = sum("SAVEPOINT" not in query["sql"] for query in queries.captured_queries)
        return found

    before = counts()
    for number in range(3):
        more_rows(walker.scene, number)
    assert len(before) == 11 and counts() == before and max(before.values()) <= MOST


def more_rows(scene: Scene, number: int) -> None:
    """One more of what pages list, at A and on the job that the table asks for."""
    member, job, family = scene.cast.technician, scene.a.job, scene.a.job.vehicle.family
    meter = made.make_instrument(member.workshop, "milliohm", 200, name=f"Tarn {number}")
    made.make_enquiry(member.workshop)
    made.make_request(member)
    made.make_request(scene.cast.member_of_b)
    with acting_for(member.workshop):
        for one in (job, made.make_job(member, family)):
            made.make_record(member, one.sheet, instrument_range=meter, temperature_c=24.5)
        working.sign(job=job, step="makers_procedure", words="Document 14-200", good=True, by=member)
        share(made_finished(member, family), member)
    made.make_sheet(member, f"Battery {number} on the bench")
