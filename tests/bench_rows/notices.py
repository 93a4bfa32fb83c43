"""Notices: written for a hundred people, swept among a million, sent to a local sink."""

from __future__ import annotations

import smtplib
import time
import uuid
from collections.abc import Callable
from datetime import timedelta
from email.message import EmailMessage
from functools import cache

from django.conf import settings
from django.db import connection, transaction
from django.utils import timezone

from network import delivery
from network.models import Event, Notice, User
from network.telling import tell
from tests.bench_rows import POSTGRESQL, SQLITE, Pair, in_turns, row
from tests.network.mail_sink import Sink, free_port, listening

BOTH = (SQLITE, POSTGRESQL)


@cache
def people(count: int = 100) -> list[User]:
    fresh = [User(email=f"told{n}@bench.example", name=f"Told {n}") for n in range(count)]
    User.objects.bulk_create(fresh)
    return list(User.objects.filter(email__startswith="told").order_by("pk"))


def _undone(work: Callable[[], object]) -> None:
    """Run it in a transaction that is taken back, so that each round finds the same table."""
    with transaction.atomic():
        work()
        transaction.set_rollback(True)


@row(path="notice rows for 100 people, with the answer", reference="INSERT..SELECT", goal=3.5, engines=BOTH)
def told(_small: bool) -> Pair:
    everybody = people()
    event = Event.record("enquiry_sent", everybody[0])
    facts = {"request": {"name": "LN 1", "description": "inverter"}, "who": "Bench"}

    def plain() -> None:
        with connection.cursor() as cursor:
            cursor.execute(
                "INSERT INTO network_notice (event_id, person_id, email, subject, body, path, created_at, state, due_at,"
                " attempts, last_error, of_the_day, message_id) SELECT %s, id, email, 'A part is asked for', %s, '/x/', %s,"
                " 'waiting', %s, 0, '', false, '<' || email || '@bench.example>' FROM network_user WHERE id BETWEEN %s AND %s",
                [event.pk, "text\n" * 20, timezone.now(), timezone.now(), everybody[0].pk, everybody[-1].pk],
            )

    return in_turns(
        lambda: _undone(lambda: tell(event, template="mail/part_asked.txt", facts=facts, people=everybody, path="/x/")),
        lambda: _undone(plain),
        rounds=40,
    )


def _many(count: int, **how: object) -> None:
    event = Event.record("enquiry_sent", people()[0])
    now = timezone.now()
    for start in range(0, count, 20_000):
        Notice.objects.bulk_create(
            [
                Notice(
                    event=event, email=f"{uuid.uuid4().hex}@bench.example", subject="Waits", body="Waits.\n",
                    message_id=f"<{uuid.uuid4()}@bench.example>", **{"due_at": now, **how},
                )
                for _one in range(min(20_000, count - start))
            ],
            batch_size=2000,
        )  # fmt: skip


@cache
def swept(small: bool) -> None:
    """A table of a million notices that were sent, and two thousand that are due."""
    Notice.objects.all().delete()
    _many(2_000 if small else 1_000_000, state="sent", sent_at=timezone.now())
    _many(2_000)
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")


@row(path="sweep of 1 000 000 notices: claim 100", reference="UPDATE over the partial index", goal=4, engines=BOTH)
def claim(small: bool) -> Pair:
    swept(small)
    later = timezone.now() + timedelta(seconds=120)
    lock = "" if connection.vendor == "sqlite" else " FOR UPDATE SKIP LOCKED"

    def plain() -> None:
        with connection.cursor() as cursor:
            cursor.execute(
                "UPDATE network_notice SET due_at = %s, attempts = attempts + 1 WHERE id IN (SELECT id FROM"
                f" network_notice WHERE state = 'waiting' AND due_at <= %s ORDER BY due_at LIMIT 100{lock})"
                " RETURNING id, email, subject, body, message_id",
                [later, timezone.now()],
            )
            cursor.fetchall()

    return in_turns(lambda: _undone(lambda: delivery.Claim(100)), lambda: _undone(plain), rounds=25)


@row(path="sweep of 1 000 000 notices: nothing due", reference="the design's 1 ms", goal=1, engines=BOTH)
def idle(small: bool) -> Pair:
    swept(small)
    Notice.objects.filter(state="waiting").update(state="sent")
    ours, _nothing = in_turns(delivery.deliver_due, lambda: None, rounds=100)
    return ours, 0.001


@row(path="mail to a local sink, 500 of them", reference="smtplib over one connection", goal=1 / 0.8, engines=BOTH)
def mails(small: bool) -> Pair:
    count = 50 if small else 500
    sink = Sink(free_port())
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", sink.port

    def ours() -> float:
        Notice.objects.all().delete()
        _many(count)
        before, began = len(sink.mails), time.perf_counter()
        while delivery.deliver_due():
            pass
        assert len(sink.mails) - before == count
        return time.perf_counter() - began

    def plain() -> float:
        began = time.perf_counter()
        with smtplib.SMTP("127.0.0.1", sink.port) as server:
            for number in range(count):
                message = EmailMessage()
                message["From"], message["To"], message["Subject"] = "a@bench.example", "b@bench.example", "Waits"
                message["Message-ID"] = f"<{number}@bench.example>"
                message.set_content("Waits.\n")
                server.send_message(message)
        return time.perf_counter() - began

    with listening(sink):
        ours(), plain()
        rounds = [(ours(), plain()) for _round in range(3)]
    return sorted(mine for mine, _other in rounds)[1], sorted(other for _mine, other in rounds)[1]
