"""Deliver notices by mail: claim what is due, send it, let it go. Crash at any point and it is due again.

A claim moves `due_at` to the end of a lease that is longer than a send can take; whoever dies while holding it loses
it when the lease ends. A mail can therefore go out twice only if the process dies (or the server hangs up) after the
mail server took the message and before the row was updated: at most one duplicate for each such fault, under the same
Message-ID.
"""

from __future__ import annotations

import logging
import random
import smtplib
from datetime import datetime, timedelta

from django.conf import settings
from django.core import mail
from django.core.mail.backends.base import BaseEmailBackend
from django.db import transaction
from django.db.models import F
from django.utils import timezone

from network.models.notices import Notice
from network.telling import ACCOUNT_MAIL

log = logging.getLogger(__name__)

BATCH = 100
LEASE = timedelta(seconds=120)
SEND_WITHIN = timedelta(seconds=60)  # of claiming: what was not begun by then goes back to the queue
MOST_ATTEMPTS = 12


def deliver_due(batch: int = BATCH) -> int:
    """Send up to `batch` due notices over one connection; returns how many were handled."""
    if not Notice.objects.due().exists():
        return 0
    claimed, until = _claim(batch)
    started = timezone.now()
    connection = mail.get_connection()
    try:
        connection.open()
    except (OSError, smtplib.SMTPException) as problem:
        for notice in claimed:
            _put_off(notice, until, problem)
        return len(claimed)
    for notice in claimed:
        if timezone.now() - started > SEND_WITHIN:
            Notice.objects.filter(pk=notice.pk, state="waiting", due_at=until).update(due_at=timezone.now())
            continue
        _send(notice, until, connection)
    try:
        connection.close()
    except (OSError, smtplib.SMTPException):
        log.info("The mail server hung up before we did.")
    return len(claimed)


def _claim(batch: int) -> tuple[list[Notice], datetime]:
    """Take due notices by moving their due time to the end of the lease; no two claimants get the same row."""
    with transaction.atomic():
        # PostgreSQL skips what another claimant holds; SQLite's immediate transaction lets in one at a time.
        due = Notice.objects.due().select_related("event").order_by("due_at")
        rows = list(due.select_for_update(skip_locked=True, of=("self",))[:batch])
        until = timezone.now() + LEASE
        Notice.objects.filter(pk__in=[n.pk for n in rows]).update(due_at=until, attempts=F("attempts") + 1)
        for notice in rows:
            notice.attempts += 1
    return rows, until


def _send(notice: Notice, until: datetime, connection: BaseEmailBackend) -> None:
    message = mail.EmailMessage(
        subject=" ".join(notice.subject.split()),
        body=notice.body,
        from_email=settings.DEFAULT_FROM_EMAIL,
        to=[notice.email],
        headers={"Message-ID": notice.message_id, "Auto-Submitted": "auto-generated"},
        connection=connection,
    )
    try:
        message.send()
    except smtplib.SMTPRecipientsRefused as problem:
        code = next(iter(problem.recipients.values()))[0]
        _put_off(notice, until, problem, for_good=code >= 500)
    except ValueError as problem:  # an address that no mail can be written to; trying again would not mend it
        _put_off(notice, until, problem, for_good=True)
    except (OSError, smtplib.SMTPException) as problem:
        _put_off(notice, until, problem)
        connection.close()  # the next send of the batch opens a fresh one
    else:
        # A mail with a secret link is not kept once it is out.
        body = "" if notice.event.verb == ACCOUNT_MAIL else notice.body
        Notice.objects.filter(pk=notice.pk, state="waiting").update(
            state="sent", sent_at=timezone.now(), last_error="", body=body
        )


def _put_off(notice: Notice, until: datetime, problem: Exception, *, for_good: bool = False) -> None:
    """Back off with jitter; after too many attempts, or a refusal for good, it is stuck and shown as such."""
    stuck = for_good or notice.attempts >= MOST_ATTEMPTS
    wait = min(2 * 2 ** min(notice.attempts, 10), 900) * random.uniform(0.5, 1.0)
    Notice.objects.filter(pk=notice.pk, state="waiting", due_at=until).update(
        state="stuck" if stuck else "waiting",
        due_at=timezone.now() + timedelta(seconds=wait),
        last_error=f"{type(problem).__name__}: {str(problem)[:150]}",
    )
