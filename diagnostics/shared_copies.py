"""Sharing a copy, whatever is copied: what was previewed is what is shared, and its workshop can take it back."""

from __future__ import annotations

from django.db import transaction
from django.utils import timezone

from diagnostics.models.shared import Shared
from network.models import Event, Membership


class NotToBeShared(Exception):
    """There is nothing to share, or it no longer stands; each verb says what that is for its kind of copy."""


class ChangedMeanwhile(Exception):
    """It is no longer what the preview showed."""


@transaction.atomic
def take_back(copy: Shared, *, by: Membership, verb: str) -> bool:
    """The workshop that shared it takes it back; nobody else can. False when that was done already."""
    own = type(copy).objects.shown().of_workshop(by.workshop).filter(pk=copy.pk)
    changed = own.update(taken_back_at=timezone.now())
    if changed:
        Event.record(verb, copy, by=by.person, workshop=by.workshop)
    return bool(changed)
