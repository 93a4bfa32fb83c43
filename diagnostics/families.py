"""Enter and change what the network knows of a system family; each change is an event that its page shows.

A limit binds its own workshop, where stricter, until a second workshop confirms it from its own copy of the source
(`FamilyLimit.confirm`); until then the workshop that entered it may take it back.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from diagnostics.models import FamilyLimit, SystemFamily
from network.models import Event, Membership, Workshop


@dataclass(frozen=True, kw_only=True)
class Change:
    """One line of a family's history: when, which workshop, who where it is one's own, and what."""

    at: datetime.datetime
    workshop: Workshop | None
    person: str
    words: str
    limit: FamilyLimit | None


@transaction.atomic
def enter_family(family: SystemFamily, *, by: Membership) -> SystemFamily:
    family.entered_by = by.workshop
    family.save()
    Event.record("family_entered", family, by=by.person, workshop=by.workshop)
    return family


@transaction.atomic
def enter_limit(limit: FamilyLimit, *, family: SystemFamily, by: Membership) -> FamilyLimit:
    limit.family, limit.entered_by = family, by.workshop
    limit.save()
    Event.record("limit_entered", limit, by=by.person, workshop=by.workshop)
    return limit


@transaction.atomic
def take_limit_back(limit: FamilyLimit, *, by: Membership) -> bool:
    """The workshop that entered it was wrong; once a second has confirmed it, it binds everybody and stays."""
    changed = FamilyLimit.objects.filter(
        pk=limit.pk, entered_by=by.workshop, confirmed_by__isnull=True, taken_back_at__isnull=True
    ).update(taken_back_at=timezone.now())
    if changed:
        Event.record("limit_taken_back", limit, by=by.person, workshop=by.workshop)
    return bool(changed)


def found(text: str) -> QuerySet[SystemFamily]:
    """Families by words: each word stands in the maker's or the family's name. All of them without a word."""
    rows = SystemFamily.objects.order_by("maker", "name")
    for word in text.split():
        rows = rows.filter(Q(maker__icontains=word) | Q(name__icontains=word))
    return rows


def history(family: SystemFamily, *, shown_to: Workshop) -> list[Change]:
    """Every change of the family and its limits, newest first."""
    limits = {limit.pk: limit for limit in family.limits.all()}
    of_family = Q(subject_type=SystemFamily._meta.label_lower, subject_id=family.pk)
    of_limits = Q(subject_type=FamilyLimit._meta.label_lower, subject_id__in=limits)
    events = Event.objects.filter(of_family | of_limits).select_related("workshop", "by").order_by("-at", "-pk")
    return [_change(event, limits, shown_to) for event in events]


def _change(event: Any, limits: dict[int, FamilyLimit], shown_to: Workshop) -> Change:
    is_limit = event.subject_type == FamilyLimit._meta.label_lower
    words = {
        "family_entered": _("entered the family"),
        "limit_entered": _("entered a limit"),
        "limit_confirmed": _("confirmed a limit from its own copy: it binds everybody"),
        "limit_taken_back": _("took its limit back"),
    }
    own = event.workshop_id == shown_to.pk and event.by
    return Change(
        at=event.at,
        workshop=event.workshop,
        person=event.by.name if own else "",
        words=words.get(event.verb, event.verb.replace("_", " ")),
        limit=limits.get(event.subject_id) if is_limit else None,
    )
