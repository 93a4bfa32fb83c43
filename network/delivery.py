"""Deliver notices by mail: claim what is due, send it, let it go. Crash at any point and it is due again.

A claim moves `due_at` to the end of a short lease, which the claimant's heartbeat moves on for as long as it lives and
works; whoever dies while holding it loses it within `LEASE`. A mail can therefore go out twice only if the process dies
(or the server hangs up) after the mail server took the message and before the row was updated: at most one duplicate
for each such fault, under the same Message-ID.

People who chose one mail a day get their due notices of the day in one message, under the identity of the first.
"""

from __future__ import annotations

import logging
import random
import smtplib
import threading
from collections.abc import Callable, Iterator
from datetime import timedelta
from itertools import groupby
from typing import NamedTuple, Self

from django.conf import settings
from django.core import mail
from django.core.mail.backends.base import BaseEmailBackend
from django.db import DatabaseError, connection, connections, transaction
from django.template.loader import render_to_string
from django.utils import timezone

from network.models import Event, User
from network.models.notices import Notice
from network.telling import ACCOUNT_MAIL
from network.unsubscribing import link_for

log = logging.getLogger(__name__)

BATCH = 100
LEASE = timedelta(seconds=20)
HEARTBEAT_S = 5.0
SEND_WITHIN = timedelta(seconds=60)  # of claiming: what was not begun by then goes back to the queue
DRAIN_WITHIN = timedelta(seconds=25)  # of starting: the last batch is claimed by then, and ends below a task's limit
MOST_ATTEMPTS = 16  # some two hours


class Claimed(NamedTuple):
    """What a claim holds of a notice: all that its mail needs."""

    pk: int
    person_id: int | None
    email: str
    subject: str
    body: str
    path: str
    message_id: str
    of_the_day: bool
    attempts: int
    verb: str  # of its event


Message = list[Claimed]  # one notice, or those of a day for one person
NOTICE, EVENT = Notice._meta.db_table, Event._meta.db_table
# `NoticeQuerySet.due`, in one statement instead of two and a hundred models: a claim is what keeps others waiting.
CLAIM = f"""
    WITH due AS MATERIALIZED (
        SELECT id FROM {NOTICE} WHERE state = 'waiting' AND due_at <= %s ORDER BY due_at, person_id, id
        LIMIT %s {{lock}}
    )
    UPDATE {NOTICE} SET due_at = %s, attempts = attempts + 1 WHERE id IN (SELECT id FROM due)
    RETURNING id, person_id, email, subject, body, path, message_id, of_the_day, attempts,
        (SELECT verb FROM {EVENT} WHERE {EVENT}.id = event_id)
"""


class Claim:
    """Due notices that nobody else gets while this process lives: a thread moves the end of the lease on."""

    def __init__(self, batch: int) -> None:
        self.until = timezone.now() + LEASE
        # PostgreSQL skips what another claimant holds; SQLite's immediate transaction lets in one at a time.
        lock = "FOR UPDATE SKIP LOCKED" if connection.features.has_select_for_update_skip_locked else ""
        now, until = (connection.ops.adapt_datetimefield_value(at) for at in (timezone.now(), self.until))
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(CLAIM.format(lock=lock), [now, batch, until])
            self.notices = sorted(Claimed(*row) for row in cursor.fetchall())
        self._turn = threading.Lock()  # of the heartbeat and whoever writes a row by the end of its lease
        self._ended = threading.Event()
        self._heart = threading.Thread(target=self._beat, daemon=True)

    def __enter__(self) -> Self:
        self._heart.start()
        return self

    def __exit__(self, *_what: object) -> None:
        self._ended.set()
        self._heart.join()

    def __iter__(self) -> Iterator[Message]:
        """What becomes one mail: a notice, or the notices of one person's day."""
        single = [[notice] for notice in self.notices if not notice.of_the_day]
        daily = sorted((n for n in self.notices if n.of_the_day), key=lambda n: (n.email, n.pk))
        yield from single
        for _email, group in groupby(daily, key=lambda n: n.email):
            yield list(group)

    def holds(self) -> bool:
        """False after a long stop of this process: somebody else may have the rows by now."""
        return timezone.now() < self.until

    def change(self, notices: Message, **fields: object) -> None:
        """Write to rows that this claim still holds."""
        with self._turn:
            mine = Notice.objects.filter(pk__in=[n.pk for n in notices], state="waiting", due_at=self.until)
            mine.update(**fields)

    def _beat(self) -> None:
        try:
            while not self._ended.wait(HEARTBEAT_S):
                with self._turn:
                    later = timezone.now() + LEASE
                    held = Notice.objects.filter(pk__in=[n.pk for n in self.notices], state="waiting")
                    held.filter(due_at=self.until).update(due_at=later)
                    self.until = later
        except DatabaseError:
            log.warning("The lease of claimed notices could not be moved on; they fall due again when it ends.")
        finally:
            connections.close_all()


def deliver_due(batch: int = BATCH, *, going_on: Callable[[], bool] = lambda: True) -> int:
    """Send what is due over one connection, batch after batch until `DRAIN_WITHIN`; returns how many were handled.

    After each full batch `going_on` is asked whether to claim another.
    """
    handled, until = 0, timezone.now() + DRAIN_WITHIN
    server = mail.get_connection()
    while Notice.objects.due().exists():
        with Claim(batch) as claim:
            handled += len(claim.notices)
            if not _sent(claim, server):
                return handled
        if len(claim.notices) < batch or timezone.now() > until or not going_on():
            break
    try:
        server.close()
    except (OSError, smtplib.SMTPException):
        log.info("The mail server hung up before we did.")
    return handled


def _sent(claim: Claim, server: BaseEmailBackend) -> bool:
    """Send what was claimed. False where no server answers: then all of it is put off."""
    started = timezone.now()
    try:
        server.open()
    except (OSError, smtplib.SMTPException) as problem:
        for message in claim:
            _put_off(message, claim, problem)
        return False
    for message in claim:
        if timezone.now() - started > SEND_WITHIN:
            claim.change(message, due_at=timezone.now())
        elif claim.holds():
            _send(message, claim, server)
    return True


def _send(message: Message, claim: Claim, server: BaseEmailBackend) -> None:
    try:
        _as_mail(message, server).send()
    except smtplib.SMTPRecipientsRefused as problem:
        code = next(iter(problem.recipients.values()))[0]
        _put_off(message, claim, problem, for_good=code >= 500)
        if code >= 500 and message[0].person_id:
            User.objects.filter(pk=message[0].person_id).came_back(str(problem)[:150])
    except ValueError as problem:  # an address that no mail can be written to; trying again would not mend it
        _put_off(message, claim, problem, for_good=True)
    except (OSError, smtplib.SMTPException) as problem:
        _put_off(message, claim, problem)
        server.close()  # the next send of the batch opens a fresh one
    else:
        _written_as_sent(message)


def _written_as_sent(message: Message) -> None:
    """One lean statement a notice, at once: whatever happens from here on, it doesn't go out again."""
    at = connection.ops.adapt_datetimefield_value(timezone.now())
    with connection.cursor() as cursor:
        for notice in message:
            # A mail with a secret link is not kept once it is out.
            body = "" if notice.verb == ACCOUNT_MAIL else notice.body
            cursor.execute(
                f"UPDATE {NOTICE} SET state = 'sent', sent_at = %s, last_error = '', body = %s"
                " WHERE id = %s AND state = 'waiting'",
                [at, body, notice.pk],
            )


def _as_mail(message: Message, server: BaseEmailBackend) -> mail.EmailMessage:
    first = message[0]
    headers = {"Message-ID": first.message_id, "Auto-Submitted": "auto-generated"}
    if first.person_id and first.verb != ACCOUNT_MAIL:
        # One click in the reader's mail program ends these mails: RFC 8058, sections 3.1 and 8.
        headers["List-Unsubscribe"] = f"<{link_for(first.person_id)}>"
        headers["List-Unsubscribe-Post"] = "List-Unsubscribe=One-Click"
    subject, body = first.subject, first.body
    if len(message) > 1:
        whole = render_to_string("mail/day.txt", {"notices": message, "base_url": settings.BASE_URL})
        subject, _newline, body = whole.strip().partition("\n")
    return mail.EmailMessage(
        subject=" ".join(subject.split()),
        body=body.strip() + "\n",
        from_email=settings.DEFAULT_FROM_EMAIL,
        to=[first.email],
        headers=headers,
        connection=server,
    )


def _put_off(message: Message, claim: Claim, problem: Exception, *, for_good: bool = False) -> None:
    """Back off with jitter; after too many attempts, or a refusal for good, it is stuck and shown as such."""
    attempts = max(notice.attempts for notice in message)
    wait = min(2 ** min(attempts, 10), 900) * random.uniform(0.5, 1.0)
    claim.change(
        message,
        state="stuck" if for_good or attempts >= MOST_ATTEMPTS else "waiting",
        due_at=timezone.now() + timedelta(seconds=wait),
        last_error=f"{type(problem).__name__}: {str(problem)[:150]}",
    )
