"""An enquiry that another member is better qualified for: this workshop proposes it, the owner decides by their link.

Until the owner agrees, nobody else sees a word of it. When they do, the copy moves: the other workshop gets the
enquiry as a new one of its own, and of the old one only this stays: that it was sent on, and to whom.
"""

from __future__ import annotations

from django.db import transaction

from jobs import enquiring
from jobs.models import Enquiry
from network.finding import Found, find_near
from network.models import Event, Membership, Workshop
from network.pictures import copied, remove

FARTHEST_KM = 400.0
MOST_NAMED = 12
TEXTS = ("vehicle", "symptom", "lamps", "name", "email", "phone")
MOVES = (*TEXTS, "work_wanted", "can_drive", "damaged", "consented_at")


class Closed(Exception):
    """The enquiry was withdrawn, taken on or sent on meanwhile, or the proposal no longer stands."""


def better_qualified(enquiry: Enquiry) -> list[Found]:
    """Approved members qualified today for the work that the owner asks for, nearest to this workshop first."""
    here = enquiry.workshop
    near = find_near(
        latitude=here.latitude,
        longitude=here.longitude,
        radius_km=FARTHEST_KM,
        work_codes=[enquiry.work_wanted],
        limit=MOST_NAMED + 1,
    )
    return [found for found in (*near.results, *near.beyond) if found.workshop.pk != here.pk][:MOST_NAMED]


@transaction.atomic
def propose(*, enquiry: Enquiry, to: Workshop, by: Membership) -> None:
    """Ask the owner whether the enquiry may go to another member; raises Closed where it is no longer open."""
    if not Enquiry.objects.open().filter(pk=enquiry.pk).update(better=to):
        raise Closed
    enquiry.refresh_from_db()
    enquiry.tell_owner("enquiry_passing_proposed", by, other=to)


@transaction.atomic
def decline(*, enquiry: Enquiry) -> None:
    """The owner wants it to stay where it is."""
    if Enquiry.objects.open().filter(pk=enquiry.pk, better__isnull=False).update(better=None):
        enquiry.refresh_from_db()
        enquiry.tell_workshop(Event.record("enquiry_passing_declined", enquiry, workshop=enquiry.workshop))


@transaction.atomic
def agree(*, enquiry: Enquiry, to: Workshop) -> Enquiry:
    """The owner agrees: the copy moves to `to`, whose enquiry it is from now on. Raises Closed where that is void."""
    facts = {name: getattr(enquiry, name) for name in MOVES}
    pictures = [copied(picture) for picture in enquiry.pictures.all()]
    old_pictures = list(enquiry.pictures.all())
    won = to.state == Workshop.State.APPROVED and Enquiry.objects.open().filter(pk=enquiry.pk, better=to).update(
        state=Enquiry.State.PASSED_ON, **dict.fromkeys(TEXTS, ""), answer="", dates_offered=[], date_chosen=None
    )
    if not won:
        raise Closed
    enquiry.pictures.clear()
    for picture in old_pictures:
        remove(picture)
    enquiry.tell_workshop(Event.record("enquiry_passed_on", enquiry, workshop=enquiry.workshop, to=to.pk))
    return enquiring.deliver(enquiry=Enquiry(**facts), workshop=to, pictures=pictures)
