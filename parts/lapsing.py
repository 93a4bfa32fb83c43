"""A request that nobody settles lapses politely: whoever asked is told before, and can prolong it.

The clock does it: `manage.py lapse_requests`, once a day or oftener, and Celery's beat where it runs. Each step is a
conditional update, so that two at once tell nobody twice.
"""

from __future__ import annotations

import datetime

from django.db import transaction
from django.utils import timezone

from network.models import Event, Membership
from parts import sourcing
from parts.models import PartRequest
from parts.models.requests import LASTS

TOLD_BEFORE = datetime.timedelta(days=5)
State = PartRequest.State


def look_after(today: datetime.date | None = None) -> tuple[int, int]:
    """Tell of what lapses soon, and let lapse what is due; how many of each."""
    day = today or timezone.localdate()
    open_ones = PartRequest.objects.filter(state=State.OPEN)
    soon = open_ones.filter(lapses_on__lte=day + TOLD_BEFORE, lapse_told_at__isnull=True)
    told = sum(_tell_before(one) for one in soon.values_list("pk", flat=True))
    # Told the full number of days before, also where the clock stood still for a week.
    long_told = open_ones.filter(lapses_on__lte=day, lapse_told_at__lte=timezone.now() - TOLD_BEFORE)
    lapsed = sum(_lapse(one) for one in long_told.values_list("pk", flat=True))
    return told, lapsed


@transaction.atomic
def prolong(*, request: PartRequest, by: Membership) -> bool:
    """Another thirty days from today, by anybody of the workshop that asked. False: it is no longer open."""
    own = PartRequest.objects.filter(pk=request.pk, asked_by_workshop=by.workshop, state=State.OPEN)
    changed = own.update(lapses_on=timezone.localdate() + LASTS, lapse_told_at=None)
    if changed:
        Event.record("request_prolonged", request, by=by.person, workshop=by.workshop)
    return bool(changed)


@transaction.atomic
def _tell_before(key: int) -> int:
    waiting = PartRequest.objects.filter(pk=key, state=State.OPEN, lapse_told_at__isnull=True)
    if not waiting.update(lapse_told_at=timezone.now()):
        return 0
    asked = PartRequest.objects.select_related("asked_by", "asked_by_workshop").get(pk=key)
    people = sourcing.reach(asked.asked_by, asked.asked_by_workshop)
    sourcing.tell_about("request_lapses_soon", asked, by=None, people=people)
    return 1


@transaction.atomic
def _lapse(key: int) -> int:
    due = PartRequest.objects.filter(pk=key, state=State.OPEN, lapse_told_at__lte=timezone.now() - TOLD_BEFORE)
    if not due.update(state=State.LAPSED):
        return 0
    asked = PartRequest.objects.select_related("asked_by", "asked_by_workshop").get(pk=key)
    people = sourcing.reach(asked.asked_by, asked.asked_by_workshop)
    people += sourcing.reach_each(sourcing.close_offers(asked))
    sourcing.tell_about("request_lapsed", asked, by=None, people=people)
    return 1
