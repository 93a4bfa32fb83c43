"""Delivery by mail: through a real mail server on this machine, and through the ways in which one fails."""

from __future__ import annotations

import random
import signal
import socket
import threading
import time
from collections.abc import Iterator
from datetime import timedelta
from email import message_from_bytes, policy
from typing import Any

import pytest
import time_machine
from aiosmtpd.controller import Controller
from django.core.management import call_command
from django.db import connections
from django.utils import timezone

from network import delivery
from network.models import Event, Notice
from tests.cast import make_person

pytestmark = pytest.mark.django_db


class Sink:
    """Takes every mail, unless told to answer otherwise to an address or to every message."""

    def __init__(self) -> None:
        self.mails: list[Any] = []
        self.to_recipient: dict[str, str] = {}
        self.to_data = ""

    async def handle_RCPT(self, server: Any, session: Any, envelope: Any, address: str, options: Any) -> str:
        if address in self.to_recipient:
            return self.to_recipient[address]
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server: Any, session: Any, envelope: Any) -> str:
        if self.to_data:
            return self.to_data
        self.mails.append(message_from_bytes(envelope.content, policy=policy.default))
        return "250 OK"


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@pytest.fixture
def sink(settings: Any) -> Iterator[Sink]:
    """A mail server of our own; the portal is set to use it."""
    handler = Sink()
    controller = Controller(handler, hostname="127.0.0.1", port=free_port())
    controller.start()
    use_mail_server(settings, controller.port)
    yield handler
    controller.stop()


def use_mail_server(settings: Any, port: int) -> None:
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", port


def waiting(count: int = 1, **fields: Any) -> list[Notice]:
    """Notices that are due now."""
    person = make_person("Sweeper")
    event = Event.record("tried_out", person)
    return Notice.objects.bulk_create(
        Notice(
            **{"event": event, "email": f"to{n}@bench.example", "subject": f"Subject {n}", "body": "Text, résumé.\n",
               "message_id": f"<{event.pk}.{n}@benchring.example>"} | fields
        )
        for n in range(count)
    )  # fmt: skip


def test_a_notice_arrives_as_a_mail_with_its_subject_text_and_identity(sink: Sink) -> None:
    (notice,) = waiting()
    assert delivery.deliver_due() == 1
    (mail,) = sink.mails
    assert (mail["To"], mail["Subject"], mail["Message-ID"]) == (notice.email, notice.subject, notice.message_id)
    assert mail.get_content().strip() == "Text, résumé." and mail["Auto-Submitted"] == "auto-generated"
    notice.refresh_from_db()
    assert notice.state == "sent" and notice.sent_at and notice.attempts == 1


def test_each_is_sent_once_and_nothing_is_left(sink: Sink) -> None:
    waiting(230)
    while delivery.deliver_due():
        pass
    assert sorted(m["To"] for m in sink.mails) == sorted(f"to{n}@bench.example" for n in range(230))
    assert not Notice.objects.exclude(state="sent").exists() and delivery.deliver_due() == 0


def test_a_line_break_in_a_subject_makes_no_header(sink: Sink) -> None:
    waiting(subject="Good\r\nBcc: everybody@bench.example")
    delivery.deliver_due()
    (mail,) = sink.mails
    assert mail["Bcc"] is None and mail["Subject"] == "Good Bcc: everybody@bench.example"


def test_a_recipient_refused_for_good_is_stuck_and_the_others_arrive(sink: Sink) -> None:
    waiting(3)
    sink.to_recipient["to1@bench.example"] = "550 no such mailbox"
    delivery.deliver_due()
    assert [m["To"] for m in sink.mails] == ["to0@bench.example", "to2@bench.example"]
    stuck = Notice.objects.get(state="stuck")
    assert stuck.email == "to1@bench.example" and "no such mailbox" in stuck.last_error


def test_an_address_that_no_mail_can_be_written_to_is_stuck_and_holds_up_nobody(sink: Sink) -> None:
    waiting(1, email="o@" + "ü" * 60 + ".example")
    Notice.objects.create(
        event=Event.objects.get(), email="z@bench.example", subject="s", body="b", message_id="<z@benchring.example>"
    )
    delivery.deliver_due()
    assert [m["To"] for m in sink.mails] == ["z@bench.example"]
    assert Notice.objects.get(state="stuck").email.startswith("o@")


@pytest.mark.parametrize("answer", ["451 try later", "421 closing"])
def test_a_message_put_off_by_the_server_is_tried_again_and_arrives(sink: Sink, answer: str) -> None:
    waiting()
    sink.to_data = answer
    delivery.deliver_due()
    notice = Notice.objects.get()
    assert notice.state == "waiting" and notice.due_at > timezone.now() and sink.mails == []
    sink.to_data = ""
    with time_machine.travel(notice.due_at + timedelta(seconds=1), tick=True):
        delivery.deliver_due()
    assert len(sink.mails) == 1 and Notice.objects.get().state == "sent"


def test_without_a_server_the_waits_grow_with_jitter_until_it_is_stuck(settings: Any) -> None:
    use_mail_server(settings, free_port())
    waiting()
    random.seed(4)
    waits = []
    with time_machine.travel(timezone.now(), tick=False) as clock:
        for attempt in range(1, delivery.MOST_ATTEMPTS + 1):
            assert delivery.deliver_due() == 1
            notice = Notice.objects.get()
            assert notice.attempts == attempt and "Connection" in notice.last_error
            waits.append((notice.due_at - timezone.now()).total_seconds())
            clock.move_to(notice.due_at)
        assert notice.state == "stuck" and delivery.deliver_due() == 0
    assert all(
        min(2 ** min(n, 10), 900) * 0.5 <= wait <= min(2 ** min(n, 10), 900) for n, wait in enumerate(waits, start=1)
    )
    assert (
        len({round(wait / min(2 ** min(n, 10), 900), 3) for n, wait in enumerate(waits, start=1)}) > 3
    )  # no two alike


def test_what_a_dead_process_had_claimed_is_due_again_when_its_lease_ends(sink: Sink) -> None:
    waiting(2)
    claim = delivery.Claim(100)  # and then it dies: its heartbeat never begins
    until = claim.until
    assert len(claim.notices) == 2 and delivery.deliver_due() == 0
    with time_machine.travel(until - timedelta(seconds=1), tick=False):
        assert delivery.deliver_due() == 0
    with time_machine.travel(until + timedelta(seconds=1), tick=False):
        assert delivery.deliver_due() == 2
    assert len(sink.mails) == 2


@pytest.mark.django_db(transaction=True)
def test_a_claimant_that_waits_for_a_slow_server_keeps_its_claim(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(delivery, "HEARTBEAT_S", 0.02)
    monkeypatch.setattr(delivery, "LEASE", timedelta(seconds=0.5))
    waiting(2)
    with delivery.Claim(100) as claim:
        first = claim.until
        time.sleep(0.7)  # longer than the lease
        assert claim.until > first and claim.holds() and delivery.deliver_due() == 0
    assert Notice.objects.values_list("due_at", flat=True)[0] == claim.until


def test_after_a_long_stop_a_claimant_leaves_its_rows_to_others(sink: Sink) -> None:
    waiting()
    claim = delivery.Claim(100)
    with time_machine.travel(claim.until + timedelta(seconds=1), tick=False):
        assert not claim.holds() and delivery.deliver_due() == 1
        claim.change(claim.notices, state="stuck")
    assert Notice.objects.get().state == "sent" and len(sink.mails) == 1


@pytest.mark.django_db(transaction=True)
def test_two_deliverers_at_once_send_each_notice_once(sink: Sink) -> None:
    waiting(240)
    start = threading.Barrier(2)

    def deliver() -> None:
        start.wait(10)
        while delivery.deliver_due():
            pass
        connections.close_all()

    threads = [threading.Thread(target=deliver) for _ in range(2)]
    [thread.start() for thread in threads]
    [thread.join(60) for thread in threads]
    assert sorted(m["To"] for m in sink.mails) == sorted(f"to{n}@bench.example" for n in range(240))
    assert Notice.objects.filter(state="sent").count() == 240


def test_the_command_sweeps_once_and_ends(sink: Sink) -> None:
    waiting(3)
    kept = {number: signal.getsignal(number) for number in (signal.SIGTERM, signal.SIGINT)}
    try:
        call_command("deliver_notices", once=True)
    finally:
        for number, handler in kept.items():
            signal.signal(number, handler)
    assert len(sink.mails) == 3
