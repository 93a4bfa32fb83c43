"""Tell people that something waits for them: the notice rows of an event, in the transaction of that event."""

from __future__ import annotations

import logging
import uuid
from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import Any

from django.conf import settings
from django.db import transaction
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
    morning = next_morning()
    recipients: dict[str, User | None] = {address.lower(): None for address in addresses}
    recipients |= {person.email.lower(): person for person in people if person.is_active}
    Notice.objects.bulk_create(
        [
            Notice(
                event=event,
                person=person,
                email=address,
                subject=subject.strip()[:200],
                body=body.strip() + "\n",
                path=path,
                message_id=f"<{uuid.uuid4()}@{_mail_domain()}>",
                **_manner(person, morning),
            )
            for address, person in recipients.items()
        ]
    )
    transaction.on_commit(hurry, robust=True)


def _manner(person: User | None, morning: datetime) -> dict[str, Any]:
    """When and how a person has chosen to be told; bare addresses are told at once."""
    if person and person.told == Told.PAGE:
        return {"state": Notice.State.PAGE}
    return {"of_the_day": True, "due_at": morning} if person and person.told == Told.DAILY else {}


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
        message_id=f"<{uuid.uuid4()}@{_mail_domain()}>",
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


def _mail_domain() -> str:
    return settings.DEFAULT_FROM_EMAIL.rpartition("@")[2].strip("> ")
