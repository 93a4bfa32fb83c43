"""One click in a mail ends the mails: a signed link that needs no sign-in (RFC 8058), and nothing but that.

The notices themselves stay on the person's page; mails of accounts (a forgotten password) go on.
"""

from __future__ import annotations

from django.conf import settings
from django.core import signing
from django.urls import reverse

from network.models import User

SALT = "network.unsubscribing"


def link_for(person_id: int) -> str:
    """The whole address; it stays valid, since a mail may be read years later."""
    token = signing.Signer(salt=SALT, sep="~").sign(str(person_id))
    return settings.BASE_URL + reverse("unsubscribe", args=[token])


def person_of(token: str) -> User | None:
    """Whose link it is; None for one that we did not sign, or whose person is gone."""
    try:
        key = signing.Signer(salt=SALT, sep="~").unsign(token)
    except signing.BadSignature:
        return None
    return User.objects.filter(pk=int(key)).first()
