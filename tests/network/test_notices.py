"""Notices on the page: what waits, what was read, and what could not be sent."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from django.db import IntegrityError, transaction
from django.test import Client

from network import telling
from network.models import Event, Notice, User
from tests.cast import Cast, make_person

pytestmark = pytest.mark.django_db


def tell(*people: User, addresses: tuple[str, ...] = (), path: str = "/outcomes/") -> Event:
    event = Event.record("tried_out", people[0] if people else make_person("X"))
    shop = {"workshop": "Voltwerk"}
    telling.tell(event, template="mail/workshop_applied.txt", facts=shop, people=people, addresses=addresses, path=path)
    return event


def test_the_first_line_of_the_mail_is_the_subject_and_the_link_leads_to_what_waits() -> None:
    person = make_person()
    tell(person, path="/applications/7/")
    notice = Notice.objects.get()
    assert notice.subject == "Voltwerk applies to the network" and notice.person == person
    assert "\n" not in notice.subject and notice.body.startswith("Good day,")
    assert "http://localhost:8000/applications/7/" in notice.body and "Voltwerk" in notice.body


def test_nobody_is_told_twice_of_one_thing() -> None:
    person = make_person(email="ilse@bench.example")
    event = tell(person, person, addresses=("ILSE@bench.example",))
    assert Notice.objects.get().person == person
    with pytest.raises(IntegrityError), transaction.atomic():
        Notice.objects.create(event=event, email=person.email, subject="s", body="b", message_id="<x@y>")


def test_somebody_who_may_not_sign_in_is_not_told() -> None:
    tell(make_person(is_active=False))
    assert not Notice.objects.exists()


def test_rolled_back_work_tells_nobody() -> None:
    person = make_person()
    with pytest.raises(ZeroDivisionError), transaction.atomic():
        tell(person)
        assert Notice.objects.count() == 1
        raise ZeroDivisionError
    assert not Notice.objects.exists()


def test_a_name_with_markup_or_a_line_break_stays_text() -> None:
    event = Event.record("tried_out", make_person())
    facts = {"workshop": "A & B <b>\r\nBcc: x@y.example"}
    telling.tell(event, template="mail/workshop_applied.txt", facts=facts, addresses=["o@bench.example"])
    notice = Notice.objects.get()
    assert "A & B <b>" in notice.body and "Bcc" not in notice.subject


def test_the_page_counts_the_unread_and_opening_one_reads_it(client_of: Callable[..., Client]) -> None:
    person = make_person()
    tell(person)
    page = client_of(person)
    assert "One notice" in page.get("/notices/").content.decode()
    opened = page.post(f"/notices/{Notice.objects.get().pk}/open/")
    assert opened.headers["Location"] == "/outcomes/"
    assert Notice.objects.get().read_at and "0 notices" in page.get("/notices/").content.decode()


def test_somebody_elses_notice_is_404_and_not_shown(client_of: Callable[..., Client]) -> None:
    tell(make_person("Other"))
    page = client_of(make_person("Me"))
    assert page.post(f"/notices/{Notice.objects.get().pk}/open/").status_code == 404
    assert "A workshop applies" not in page.get("/notices/").content.decode()
    assert Notice.objects.get().read_at is None


@pytest.mark.parametrize("page", ["-1", "0", "x", "9" * 30, "1\0", "2"])
def test_a_strange_page_number_shows_a_page(client_of: Callable[..., Client], page: str) -> None:
    person = make_person()
    for _ in range(30):
        tell(person)
    assert client_of(person).get("/notices/", {"page": page}).status_code == 200


def test_an_administrator_sends_a_stuck_notice_again(cast: Cast, client_of: Callable[..., Client]) -> None:
    Notice.objects.all().delete()
    tell(make_person("Somebody"))
    Notice.objects.update(state="stuck", attempts=12, last_error="SMTPRecipientsRefused: no such mailbox")
    page = client_of(cast.administrator)
    assert "no such mailbox" in page.get("/notices/stuck/").content.decode()
    assert page.post("/notices/stuck/", {"notice": Notice.objects.get().pk}).status_code == 302
    notice = Notice.objects.get()
    assert (notice.state, notice.attempts) == ("waiting", 0)
    assert Notice.objects.due().get() == notice


@pytest.mark.parametrize("key", ["", "x", "-1", "9" * 40, "1\0", "999999"])
def test_sending_again_what_is_not_there_is_404(cast: Cast, client_of: Callable[..., Client], key: str) -> None:
    assert client_of(cast.administrator).post("/notices/stuck/", {"notice": key}).status_code == 404
