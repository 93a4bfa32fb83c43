"""Tell people that something waits for them: the notice rows of an event, in the transaction of that event."""

from __future__ import annotations

import logging
import uuid
from collections.abc import Iterable
from typing import Any

from django.conf import settings
from django.db import transaction
from django.template.loader import render_to_string

from network.models.events import Event
from network.models.notices import Notice
from network.models.people import User

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
            )
            for address, person in recipients.items()
        ]
    )
    transaction.on_commit(hurry, robust=True)


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
