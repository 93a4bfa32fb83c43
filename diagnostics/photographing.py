"""Photograph the display now, type the reading later: who waits to be typed, and which record came of it.

What is typed later was taken when the photograph was. Whether absence of voltage is proved is asked when it is typed:
a reading that waits until the car is live again is not enough data. The picture's digest stands in the record.
"""

from __future__ import annotations

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone

from diagnostics.kind import Kind
from diagnostics.models import DisplayPhoto, Record, Sheet
from network.models import Event, Membership
from network.pictures import Cleaned, keep


class AlreadyTyped(Exception):
    """Somebody else typed this photograph, or put it aside, meanwhile."""


def waiting(sheet: Sheet, kind: Kind | None = None) -> QuerySet[DisplayPhoto]:
    """Photographs that nobody has typed yet, the oldest first."""
    rows = DisplayPhoto.objects.filter(sheet=sheet, record=None, put_aside_at=None).select_related("picture")
    return rows.filter(kind=kind.code) if kind else rows


@transaction.atomic
def photograph(sheet: Sheet, kind: Kind, picture: Cleaned, *, by: Membership) -> DisplayPhoto:
    made = DisplayPhoto(
        sheet=sheet,
        kind=kind.code,
        picture=keep(picture, by=by.person),
        taken_at=timezone.now(),
        taken_by=by.person,
    )
    made.save()
    Event.record("display_photographed", made, by=by.person, workshop=by.workshop)
    return made


@transaction.atomic
def typed_as(photo: DisplayPhoto, record: Record, *, by: Membership) -> None:
    """This record was typed from it; raises AlreadyTyped for whoever comes second."""
    waiting = DisplayPhoto.objects.filter(pk=photo.pk, record=None, put_aside_at=None)
    if not waiting.update(record=record):
        raise AlreadyTyped
    Event.record("display_typed", photo, by=by.person, workshop=by.workshop, record=record.pk)


@transaction.atomic
def put_aside(photo: DisplayPhoto, *, by: Membership) -> bool:
    """Nobody types it: it is blurred, or shows something else. False where that was done, or it was typed."""
    changed = DisplayPhoto.objects.filter(pk=photo.pk, record=None, put_aside_at=None).update(
        put_aside_at=timezone.now()
    )
    if changed:
        Event.record("display_put_aside", photo, by=by.person, workshop=by.workshop)
    return bool(changed)
