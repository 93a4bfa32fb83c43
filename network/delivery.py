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
from collections.abc import Iterator
from datetime import timedelta
from itertools import groupby
from typing import Self

from django.conf import settings
from django.core import mail
from django.core.mail.backends.base import BaseEmailBackend
from django.db import DatabaseError, connections, transaction
from django.db.models import F
from django.template.loader import render_to_string
from django.utils import timezone

from network.models import User
from network.models.notices import Notice
from network.telling import ACCOUNT_MAIL
from network.unsubscribing import link_for

log = logging.getLogger(__name__)

BATCH = 100
LEASE = timedelta(seconds=20)
HEARTBEAT_S = 5.0
SEND_WITHIN = timedelta(seconds=60)  # of claiming: what was not begun by then goes back to the queue
MOST_ATTEMPTS = 16  # some two hours
Message = list[Notice]  # one notice, or those of a day for one person


class Claim:
    """Due notices that nobody else gets while this process lives: a thread moves the end of the lease on."""

    def __init__(self, batch: int) -> None:
        with transaction.atomic():
            # PostgreSQL skips what another claimant holds; SQLite's immediate transaction lets in one at a time.
            due = Notice.objects.due().select_related("event", "person").order_by("due_at", "person_id", "pk")
            self.notices = list(due.select_for_update(skip_locked=True, of=("self",))[:batch])
            self.until = timezone.now() + LEASE
            keys = [notice.pk for notice in self.notices]
            Notice.objects.filter(pk__in=keys).update(due_at=self.until, attempts=F("attempts") + 1)
        for notice in self.notices:
            notice.attempts += 1
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


def deliver_due(batch: int = BATCH) -> int:
    """Send up to `batch` due notices over one connection; returns how many were handled."""
    if not Notice.objects.due().exists():
        return 0
    started = timezone.now()
    with Claim(batch) as claim:
        connection = mail.get_connection()
        try:
            connection.open()
        except (OSError, smtplib.SMTPException) as problem:
            for message in claim:
                _put_off(message, claim, problem)
            return len(claim.notices)
        for message in claim:
            if timezone.now() - started > SEND_WITHIN:
                claim.change(message, due_at=timezone.now())
            elif claim.holds():
                _send(message, claim, connection)
        try:
            connection.close()
        except (OSError, smtplib.SMTPException):
            log.info("The mail server hung up before we did.")
        return len(claim.notices)


def _send(message: Message, claim: Claim, connection: BaseEmailBackend) -> None:
    try:
        _as_mail(message, connection).send()
    except smtplib.SMTPRecipientsRefused as problem:
        code = next(iter(problem.recipients.values()))[0]
        _put_off(message, claim, problem, for_good=code >= 500)
        if code >= 500 and message[0].person_id:
            User.objects.filter(pk=message[0].person_id).came_back(str(problem)[:150])
    except ValueError as problem:  # an address that no mail can be written to; trying again would not mend it
        _put_off(message, claim, problem, for_good=True)
    except (OSError, smtplib.SMTPException) as problem:
        _put_off(message, claim, problem)
        connection.close()  # the next send of the batch opens a fresh one
    else:
        for notice in message:
            # A mail with a secret link is not kept once it is out.
            body = "" if notice.event.verb == ACCOUNT_MAIL else notice.body
            Notice.objects.filter(pk=notice.pk, state="waiting").update(
                state="sent", sent_at=timezone.now(), last_error="", body=body
            )


def _as_mail(message: Message, connection: BaseEmailBackend) -> mail.EmailMessage:
    first = message[0]
    headers = {"Message-ID": first.message_id, "Auto-Submitted": "auto-generated"}
    if first.person_id and first.event.verb != ACCOUNT_MAIL:
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
        connection=connection,
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
