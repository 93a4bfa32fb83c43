"""Telling people: which rows an event writes, when the hint to hurry is given, and what reaches a mail's headers."""

from __future__ import annotations

from typing import Any

import pytest
from django.core import mail

from network import delivery, telling
from network.models import Event, Notice, User
from tests.cast import make_person

pytestmark = pytest.mark.django_db


def told(*people: User, addresses: tuple[str, ...] = (), number: str = "LN 27 410-0") -> None:
    """These are told that a part is looked for."""
    event = Event.record("part_asked", people[0])
    facts = {"request": {"name": number, "description": "Inverter"}, "who": "Ateliers Hautpré"}
    telling.tell(event, people=people, addresses=addresses, template="mail/part_asked.txt", facts=facts, path="/board/")


def test_an_address_in_another_case_is_the_same_recipient() -> None:
    person = make_person()
    told(person, addresses=(person.email.upper(), "owner@terwold.example", "Owner@Terwold.example"))
    delivery.deliver_due()
    assert sorted(one.to[0] for one in mail.outbox) == sorted([person.email, "owner@terwold.example"])
    assert Notice.objects.get(email=person.email).person == person  # so that it stands on their page as well


def test_two_events_are_two_mails_under_two_message_ids() -> None:
    person = make_person()
    told(person)
    told(person)
    delivery.deliver_due()
    assert len({one.extra_headers["Message-ID"] for one in mail.outbox}) == 2


@pytest.mark.parametrize("written", ["410\r\nBcc: all@bench.example", "410\nBcc: all@bench.example", "410\rBcc: x@y.z"])
def test_a_line_break_in_what_somebody_typed_adds_no_header(written: str) -> None:
    person = make_person()
    told(person, number=written)
    delivery.deliver_due()
    (sent,) = mail.outbox
    assert sent.recipients() == [person.email]
    # RFC 5322, 2.2: a header field ends at a line break; what was typed must not have ended one.
    head = sent.message().as_bytes().partition(b"\n\n")[0]
    assert b"\nBcc:" not in head and b"\r" not in head and head.count(b"\nSubject: 410") == 1


def test_the_hint_to_hurry_comes_after_the_commit_and_only_then(
    monkeypatch: pytest.MonkeyPatch, django_capture_on_commit_callbacks: Any
) -> None:
    hints: list[str] = []
    monkeypatch.setattr(telling, "hurry", lambda: hints.append("now"))
    with django_capture_on_commit_callbacks(execute=True):
        told(make_person())
        assert hints == []
    assert hints == ["now"]
