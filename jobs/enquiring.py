"""An enquiry on its way to a workshop: stored for it, its people told, the owner given the private link.

The owner's words never go out in a mail: the confirmation holds the portal's own sentences and the link only, so that
nobody can have the portal send a text of theirs to a stranger. A connection sends a few enquiries a day, no more.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

from django.conf import settings
from django.core.cache import cache
from django.db import transaction

from jobs.models import Enquiry
from jobs.owner_link import path_for
from network.access import acting_for
from network.models import Event, Workshop
from network.pictures import Cleaned, keep
from network.telling import tell

MOST_A_DAY = 20  # from one connection, and 5 to one address: a household asks a handful of workshops
MOST_TO_ONE_ADDRESS = 5
DAY = 24 * 60 * 60


class TooMany(Exception):
    """This connection, or this address, has sent its share for today."""


def send(*, enquiry: Enquiry, workshop: Workshop, from_address: str, pictures: Sequence[Cleaned] = ()) -> Enquiry:
    """Store the enquiry for the workshop and tell both sides; raises TooMany beyond the day's share."""
    _count(f"connection {from_address}", MOST_A_DAY)
    _count(f"address {enquiry.email.lower()}", MOST_TO_ONE_ADDRESS)
    return deliver(enquiry=enquiry, workshop=workshop, pictures=pictures)


def deliver(*, enquiry: Enquiry, workshop: Workshop, pictures: Sequence[Cleaned] = ()) -> Enquiry:
    """Store an enquiry that may go to the workshop, tell its people, and mail the owner the private link."""
    with acting_for(workshop), transaction.atomic():
        enquiry.workshop = workshop
        enquiry.save()
        enquiry.pictures.set([keep(picture, by=None) for picture in pictures])
        enquiry.tell_workshop(Event.record("enquiry_sent", enquiry, workshop=workshop))
        tell(
            Event.record("enquiry_confirmed", enquiry, workshop=workshop),
            addresses=[enquiry.email],
            template="mail/enquiry_confirmed.txt",
            facts={"workshop": workshop},
            path=path_for(enquiry),
        )
    return enquiry


def _count(who: str, most: int) -> None:
    """Count one more for today under a key that tells nobody who it was."""
    key = "enquiry-" + hashlib.sha256(f"{settings.SECRET_KEY}{who}".encode()).hexdigest()
    cache.add(key, 0, DAY)
    if cache.incr(key) > most:
        raise TooMany
