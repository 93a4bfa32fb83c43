"""How somebody is told: at once, once a day, or on the page alone; one click ends the mails; what came back is shown.

Outside sources: RFC 8058 (one-click unsubscribe: the two header fields of section 3.1, the POST of section 3.2, no
action on GET), RFC 3464 (delivery status notifications: fields of section 2.3; the mail is laid out as its appendix E).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

import pytest
import time_machine
from django.core import mail
from django.test import Client
from django.utils import timezone

from network import delivery, returned_mail, telling
from network.models import Event, Notice, User
from network.models.people import Told
from tests.cast import make_person

pytestmark = pytest.mark.django_db


@pytest.fixture
def person() -> User:
    return make_person("Ilse Verhoeven")


@pytest.fixture(autouse=True)
def noon() -> Iterator[Any]:
    """A Wednesday at noon."""
    with time_machine.travel(datetime(2026, 11, 25, 12, tzinfo=timezone.get_default_timezone()), tick=False) as clock:
        yield clock


def tell(person: User, number: str) -> None:
    event = Event.record("part_asked", person)
    facts = {"request": {"name": number, "description": "inverter"}, "who": "Hybridwerk"}
    telling.tell(event, template="mail/part_asked.txt", facts=facts, people=[person], path="/board/")


def sent() -> list[Any]:
    while delivery.deliver_due():
        pass
    return mail.outbox


def test_who_chose_one_mail_a_day_gets_one_mail_in_the_morning(person: User, noon: Any) -> None:
    telling.choose(person, Told.DAILY)
    person.refresh_from_db()
    tell(person, "LN 1"), tell(person, "LN 2")
    assert sent() == []
    noon.move_to(telling.next_morning() + timedelta(seconds=1))
    (one,) = sent()
    assert one.subject == "2 notices of the day" and "LN 1" in one.body and "LN 2" in one.body
    assert set(Notice.objects.values_list("state", flat=True)) == {"sent"}


def test_a_day_with_one_notice_sends_that_notice_itself(person: User, noon: Any) -> None:
    telling.choose(person, Told.DAILY)
    person.refresh_from_db()
    tell(person, "LN 1")
    noon.move_to(telling.next_morning() + timedelta(seconds=1))
    assert [one.subject for one in sent()] == ["LN 1 is looked for in your region"]


def test_morning_is_seven_o_clock_also_where_the_clocks_change(noon: Any) -> None:
    noon.move_to(datetime(2026, 10, 24, 12, tzinfo=timezone.get_default_timezone()))  # summer time ends that night
    assert timezone.localtime(telling.next_morning()).strftime("%d %H:%M") == "25 07:00"


def test_who_wants_no_mails_still_has_the_page(person: User, client: Client) -> None:
    telling.choose(person, Told.PAGE)
    person.refresh_from_db()
    tell(person, "LN 1")
    assert sent() == []
    client.force_login(person)
    page = client.get("/notices/").content.decode()
    assert "LN 1" in page and "One notice" in page


def test_what_waits_follows_a_changed_choice(person: User) -> None:
    telling.choose(person, Told.DAILY)
    person.refresh_from_db()
    tell(person, "LN 1")
    telling.choose(person, Told.AT_ONCE)
    assert len(sent()) == 1


def test_the_choice_is_made_on_the_page_of_notices(person: User, client: Client) -> None:
    client.force_login(person)
    client.post("/notices/choose/", {"told": "daily"})
    person.refresh_from_db()
    assert person.told == "daily"
    client.post("/notices/choose/", {"told": "nonsense"})
    person.refresh_from_db()
    assert person.told == "daily"


def test_a_mail_carries_a_link_that_ends_them_with_one_post_and_no_sign_in(person: User) -> None:
    tell(person, "LN 1")
    (one,) = sent()
    assert one.extra_headers["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    link = re.fullmatch(r"<(https?://[^/]+)(/\S+)>", one.extra_headers["List-Unsubscribe"])
    assert link
    stranger = Client(enforce_csrf_checks=True)
    assert stranger.get(link[2]).status_code == 200
    person.refresh_from_db()
    assert person.told == "at_once", "a scanner that follows links must not end anything"
    assert stranger.post(link[2], {"List-Unsubscribe": "One-Click"}).status_code == 200
    person.refresh_from_db()
    assert person.told == "page"


def returned(notice: Notice, *, status: str = "5.1.1", recipient: str = "") -> bytes:
    return f"""From: Mail Delivery Subsystem <MAILER-DAEMON@mx.example>
To: <portal@benchring.example>
Subject: Returned mail
MIME-Version: 1.0
Content-Type: multipart/report; report-type=delivery-status; boundary="b1"

--b1

The mail could not be delivered.
--b1
Content-Type: message/delivery-status

Reporting-MTA: dns; mx.example

Original-Recipient: rfc822;{recipient or notice.email}
Final-Recipient: rfc822;{recipient or notice.email}
Action: failed
Status: {status}
Diagnostic-Code: smtp; 550 no such mailbox

--b1
Content-Type: text/rfc822-headers

From: portal@benchring.example
Message-ID: {notice.message_id}

--b1--
""".encode()


def test_a_mail_that_came_back_marks_its_notice_and_shows_the_person(person: User, client: Client) -> None:
    tell(person, "LN 1")
    sent()
    assert returned_mail.take(returned(Notice.objects.get())) == 1
    assert Notice.objects.get().state == "stuck" and "no such mailbox" in Notice.objects.get().last_error
    client.force_login(person)
    assert "came back" in client.get("/notices/").content.decode()
    client.post("/notices/choose/", {"told": "at_once"})
    assert "came back" not in client.get("/notices/").content.decode()


def test_a_delivery_given_up_for_now_does_not_blame_the_address(person: User) -> None:
    tell(person, "LN 1")
    sent()
    assert returned_mail.take(returned(Notice.objects.get(), status="4.0.0")) == 1
    person.refresh_from_db()
    assert person.mail_came_back_at is None and Notice.objects.get().state == "stuck"


def test_a_forged_return_for_another_address_marks_nothing(person: User) -> None:
    tell(person, "LN 1")
    sent()
    assert returned_mail.take(returned(Notice.objects.get(), recipient="somebody@else.example")) == 0
    assert returned_mail.take(b"Subject: hello\n\nOut of office.\n") == 0
    assert returned_mail.take(b"\xff\x00" * 500) == 0
