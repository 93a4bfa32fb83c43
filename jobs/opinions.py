"""What others do about a shared outcome: workshops confirm or contradict it, an administrator takes it down."""

from __future__ import annotations

from django.db import transaction
from django.urls import reverse
from django.utils import timezone

from jobs.models import Opinion, Outcome
from jobs.sharing import TellsTooMuch
from network.models import Event, Membership, User
from network.private_text import private_pieces
from network.telling import tell


class NotByItself(Exception):
    """A workshop neither confirms nor contradicts its own outcome, nor one that is no longer shared."""


@transaction.atomic
def give(*, outcome: Outcome, by: Membership, confirms: bool, words: str) -> Opinion:
    """Say what the own repairs showed; whoever said something before now says this instead. The sharer is told.

    Raises NotByItself, and TellsTooMuch for words that hold something private.
    """
    if pieces := private_pieces(words):
        raise TellsTooMuch(pieces)
    locked = Outcome.objects.select_for_update().select_related("workshop").get(pk=outcome.pk)
    if locked.workshop_id == by.workshop_id or not locked.stands:
        raise NotByItself
    said = {"confirms": confirms, "words": words, "said_by": by.person, "said_at": timezone.now()}
    opinion, _new = Opinion.objects.update_or_create(outcome=locked, workshop=by.workshop, defaults=said)
    verb = "outcome_confirmed" if confirms else "outcome_contradicted"
    event = Event.record(verb, locked, by=by.person, workshop=by.workshop)
    tell(
        event,
        people=User.objects.filter(memberships__in=locked.workshop.memberships.able_to_act()),
        template=f"mail/{verb}.txt",
        facts={"outcome": locked, "who": by.workshop, "opinion": opinion},
        path=reverse("outcome", args=[locked.pk]),
    )
    return opinion


@transaction.atomic
def take_down(*, outcome: Outcome, by: User, reason: str) -> bool:
    """An administrator takes an outcome down, with a reason that its workshop reads. False: somebody was first."""
    now = timezone.now()
    changed = Outcome.objects.filter(pk=outcome.pk, taken_back_at__isnull=True, taken_down_at__isnull=True).update(
        taken_down_at=now, taken_down_by=by, taken_down_reason=reason
    )
    if not changed:
        return False
    outcome.refresh_from_db()
    outcome.pictures.update(taken_back_at=now)
    event = Event.record("outcome_taken_down", outcome, by=by, workshop=outcome.workshop)
    tell(
        event,
        people=User.objects.filter(memberships__in=outcome.workshop.memberships.able_to_act()),
        template="mail/outcome_taken_down.txt",
        facts={"outcome": outcome},
        path=reverse("outcome_stands", args=[outcome.pk]),
    )
    return True
