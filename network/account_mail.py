"""Mails of accounts (confirm an address, choose a new password) go the way of notices: a row first, then the deliverer.

Without this a mail server that is down would make signing up and "forgotten password" fail. Such a mail holds a secret
link, so its text is thrown away once it was sent (`network/delivery.py`), and no page shows it.
"""

from __future__ import annotations

from typing import Any

from allauth.account.adapter import DefaultAccountAdapter
from django.contrib.sites.shortcuts import get_current_site
from django.db import transaction
from django.http import HttpRequest

from network.models import Event, User
from network.telling import ACCOUNT_MAIL, post


class Adapter(DefaultAccountAdapter):
    """allauth's, but its mails are rows."""

    def send_mail(self, template_prefix: str, email: str, context: dict[str, Any]) -> None:
        request: HttpRequest = self.request
        facts = {"request": request, "email": email, "current_site": get_current_site(request), **context}
        message = self.render_mail(template_prefix, email, facts)
        person = context.get("user")
        with transaction.atomic():
            # Somebody unknown may ask for a password: the mail that says so belongs to nobody.
            event = Event.objects.create(
                verb=ACCOUNT_MAIL,
                subject_type=User._meta.label_lower,
                subject_id=person.pk if isinstance(person, User) and person.pk else 0,
            )
            post(event, email=email, subject=str(message.subject), body=str(message.body))
