"""Enter and change what the network knows of a system family; each change is an event that its page shows.

A limit binds its own workshop, where stricter, until a second workshop confirms it from its own copy of the source
(`FamilyFact.confirm`); until then the workshop that entered it may take it back.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import Q, QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _

from diagnostics.models import ExpectedReading, FamilyLimit, SystemFamily
from diagnostics.models.families import FamilyFact
from network.models import Event, Membership, Workshop


@dataclass(frozen=True, kw_only=True)
class Change:
    """One line of a family's history: when, which workshop, who where it is one's own, and what."""

    at: datetime.datetime
    workshop: Workshop | None
    person: str
    words: str
    fact: FamilyFact | None


@transaction.atomic
def enter_family(family: SystemFamily, *, by: Membership) -> SystemFamily:
    family.entered_by = by.workshop
    family.save()
    Event.record("family_entered", family, by=by.person, workshop=by.workshop)
    return family


@transaction.atomic
def enter_fact(fact: FamilyFact, *, family: SystemFamily, by: Membership) -> None:
    """A limit, or an expected reading."""
    fact.family, fact.entered_by = family, by.workshop
    fact.save()
    Event.record(f"{fact.word}_entered", fact, by=by.person, workshop=by.workshop)


def enter_limit(limit: FamilyLimit, *, family: SystemFamily, by: Membership) -> FamilyLimit:
    enter_fact(limit, family=family, by=by)
    return limit


@transaction.atomic
def take_back(fact: FamilyFact, *, by: Membership) -> bool:
    """The workshop that entered it was wrong; once a second has confirmed it, it holds for everybody and stays."""
    changed = (
        type(fact)
        .objects.filter(pk=fact.pk, entered_by=by.workshop, confirmed_by__isnull=True, taken_back_at__isnull=True)
        .update(taken_back_at=timezone.now())
    )
    if changed:
        Event.record(f"{fact.word}_taken_back", fact, by=by.person, workshop=by.workshop)
    return bool(changed)


def found(text: str) -> QuerySet[SystemFamily]:
    """Families by words: each word stands in the maker's or the family's name. All of them without a word."""
    rows = SystemFamily.objects.order_by("maker", "name")
    for word in text.split():
        rows = rows.filter(Q(maker__icontains=word) | Q(name__icontains=word))
    return rows


def history(family: SystemFamily, *, shown_to: Workshop) -> list[Change]:
    """Every change of the family and its limits, newest first."""
    facts: dict[tuple[str, int], FamilyFact] = {}
    for rows in (family.limits.all(), family.expected.all()):
        facts |= {(one._meta.label_lower, one.pk): one for one in rows}
    about = Q(subject_type=SystemFamily._meta.label_lower, subject_id=family.pk)
    for model in (FamilyLimit, ExpectedReading):
        label = model._meta.label_lower
        about |= Q(subject_type=label, subject_id__in=[pk for kind, pk in facts if kind == label])
    events = Event.objects.filter(about).select_related("workshop", "by").order_by("-at", "-pk")
    return [_change(event, facts, shown_to) for event in events]


def _change(event: Any, facts: dict[tuple[str, int], FamilyFact], shown_to: Workshop) -> Change:
    words = {
        "family_entered": _("entered the family"),
        "limit_entered": _("entered a limit"),
        "limit_confirmed": _("confirmed a limit from its own copy: it binds everybody"),
        "limit_taken_back": _("took its limit back"),
        "expected_entered": _("entered an expected reading"),
        "expected_confirmed": _("confirmed an expected reading from its own copy: everybody is shown it"),
        "expected_taken_back": _("took its expected reading back"),
    }
    own = event.workshop_id == shown_to.pk and event.by
    return Change(
        at=event.at,
        workshop=event.workshop,
        person=event.by.name if own else "",
        words=words.get(event.verb, event.verb.replace("_", " ")),
        fact=facts.get((event.subject_type, event.subject_id)),
    )
