"""The owner's private link: which workshop and which enquiry it is for, signed, so that nobody can make one up.

The link itself says whose rows may be reached; the page enters `acting_for` with the workshop that was signed in.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from django.core import signing
from django.http import Http404
from django.urls import reverse

from jobs.models import Enquiry
from network.access import acting_for

SALT = "owner's private link"


def path_for(enquiry: Enquiry) -> str:
    """The path of the page that the owner of `enquiry` follows it on."""
    token = signing.Signer(salt=SALT, sep="~").sign(f"{enquiry.workshop_id}-{enquiry.pk}-{enquiry.nonce}")
    return reverse("enquiry_private", args=[token])


@contextmanager
def followed(token: str) -> Iterator[Enquiry]:
    """Act for the signed workshop and give its enquiry; a token that isn't ours, or is void, is 404."""
    try:
        workshop, key, nonce = signing.Signer(salt=SALT, sep="~").unsign(token).split("-", 2)
    except (signing.BadSignature, ValueError):
        raise Http404 from None
    with acting_for(int(workshop)):
        enquiry = Enquiry.objects.select_related("workshop").filter(pk=int(key), nonce=nonce).first()
        if enquiry is None:
            raise Http404
        yield enquiry
