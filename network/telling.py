"""Tell people that something waits for them: the notice rows of an event, in the transaction of that event."""

from __future__ import annotations

import logging
import uuid
from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Any

from django.conf import settings
from django.db import connection, transaction
from django.template.loader import render_to_string
from django.utils import timezone

from network.models.events import Event
from network.models.notices import Notice
from network.models.people import Told, User

log = logging.getLogger(__name__)

ACCOUNT_MAIL = "account_mail"  # the verb of mails with a secret link


def tell(
    event: Event,
    *,
    template: str,
    facts: dict[str, Any],
    people: Iterable[User] = (),
    addresses: Iterable[str] = (),
    path: str = "",
) -> None:
    """Write one notice a recipient: people of the portal, and bare addresses (owners). Nobody twice for one event.

    The first line of the template is the subject, the rest the text; `path` is the page that waits for them.
    """
    whole = render_to_string(
        template, {**facts, "link": settings.BASE_URL + path, "network_name": settings.NETWORK_NAME}
    )
    subject, _newline, body = whole.strip().partition("\n")
    told = {person.email.lower(): person.pk for person in people if person.is_active}
    strangers = {address.lower() for address in addresses} - told.keys()
    text = {"subject": subject.strip()[:200], "body": body.strip() + "\n", "path": path}
    Notice.objects.bulk_create(
        [Notice(event=event, email=email, message_id=_message_id(), **text) for email in sorted(strangers)]
    )
    if told:
        _for_people(event, list(told.values()), text)
    transaction.on_commit(hurry, robust=True)


# A row for each person in one statement, by how each has chosen to be told: a board's request tells hundreds at once.
FOR_PEOPLE = f"""
    INSERT INTO {Notice._meta.db_table}
        (event_id, person_id, email, subject, body, path, created_at, state, of_the_day, due_at, attempts, last_error,
        message_id)
    SELECT %s, id, lower(email), %s, %s, %s, %s, CASE told WHEN '{Told.PAGE}' THEN '{Notice.State.PAGE}' ELSE
        '{Notice.State.WAITING}' END, told = '{Told.DAILY}', CASE told WHEN '{Told.DAILY}' THEN %s ELSE %s END, 0, '',
        replace(%s, '@', '.' || id || '@')
    FROM {User._meta.db_table} WHERE id IN ({{keys}})
"""


def _for_people(event: Event, keys: list[int], text: dict[str, str]) -> None:
    now, morning = (connection.ops.adapt_datetimefield_value(at) for at in (timezone.now(), next_morning()))
    with connection.cursor() as cursor:
        cursor.execute(
            FOR_PEOPLE.format(keys=", ".join(["%s"] * len(keys))),
            [event.pk, text["subject"], text["body"], text["path"], now, morning, now, _message_id(), *keys],
        )


def next_morning() -> datetime:
    """The next seven o'clock, when the mails of the day go out."""
    now = timezone.localtime()
    seven = now.replace(hour=7, minute=0, second=0, microsecond=0)
    return seven if now < seven else seven + timedelta(days=1)


@transaction.atomic
def choose(person: User, told: str) -> None:
    """How a person wants to be told from now on; what waits follows the choice."""
    User.objects.filter(pk=person.pk).update(told=told, mail_came_back_at=None, mail_came_back_why="")
    waiting = Notice.objects.filter(person=person, state=Notice.State.WAITING).exclude(event__verb=ACCOUNT_MAIL)
    keys = list(waiting.values_list("pk", flat=True))
    rows = Notice.objects.filter(pk__in=keys, state=Notice.State.WAITING)
    if told == Told.PAGE:
        rows.update(state=Notice.State.PAGE)
    elif told == Told.DAILY:
        rows.update(of_the_day=True, due_at=next_morning())
    else:
        rows.update(of_the_day=False, due_at=timezone.now())
    Event.record("told_chosen", person, by=person, told=told)


def post(event: Event, *, email: str, subject: str, body: str) -> None:
    """Write one notice with a text of its own, for a bare address."""
    Notice.objects.create(
        event=event,
        email=email.lower(),
        subject=subject[:200],
        body=body,
        message_id=_message_id(),
    )
    transaction.on_commit(hurry, robust=True)


def hurry() -> None:
    """Ask Celery, where configured, to deliver now. Losing this hint loses nothing: the sweeper finds the rows."""
    if not settings.REDIS_URL:
        return
    from network.tasks import deliver_due

    try:
        deliver_due.apply_async(retry=False)
    except Exception:  # whatever the broker's client raises, the notice is already a row
        log.warning("The broker could not be reached; the sweeper will deliver.")


def _message_id() -> str:
    """Of the form of RFC 5322, 3.6.4."""
    return f"<{uuid.uuid4()}@{settings.DEFAULT_FROM_EMAIL.rpartition('@')[2].strip('> ')}>"
