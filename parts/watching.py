"""Who watches the board for what: a system family, a kind of part, the region that asks.

A watch adds people to those who are told of a new request; it shows nobody a request that isn't sent to their region.
"""

from __future__ import annotations

from django.db import transaction
from django.db.models import Q, QuerySet

from diagnostics.models import SystemFamily
from network.access import WayOut, way_out
from network.models import Membership, User
from parts.models.requests import PartRequest
from parts.models.watches import Watch

MOST = 50  # of one person


class TooMany(Exception):
    """This person watches for as much as one can."""


@transaction.atomic
def watch(*, wanted: Watch, by: Membership) -> Watch:
    """Keep it, once: the same watch a second time is the first one. Raises TooMany."""
    mine = Watch.objects.filter(person=by.person)
    list(User.objects.select_for_update().filter(pk=by.person_id).values_list("pk"))  # two at once come in turn
    same = mine.filter(family=wanted.family, part_kind=wanted.part_kind, region=wanted.region).first()
    if same:
        return same
    if mine.count() >= MOST:
        raise TooMany
    wanted.person = by.person
    wanted.save()
    return wanted


def stop(*, watch: int, by: Membership) -> bool:
    """The person watches for it no longer. False: it was none of theirs."""
    deleted, _rows = Watch.objects.filter(pk=watch, person=by.person).delete()
    return bool(deleted)


def watchers_of(request: PartRequest) -> list[int]:
    """Keys of people whose watches the request fits; whoever calls drops those who may not see it."""
    with way_out(WayOut.MATCH_WATCHES):
        return sorted(set(_fitting(request).values_list("person", flat=True)))


def _families_of(request: PartRequest) -> list[int]:
    """The system families that its number fits, where no family is named."""
    if not request.normalised:
        return []
    return list(SystemFamily.objects.filter(part_numbers__normalised=request.normalised).values_list("pk", flat=True))


def _fitting(request: PartRequest) -> QuerySet[Watch]:
    named = [request.family_id] if request.family_id else _families_of(request)
    family = Q(family__isnull=True) | Q(family__in=named)
    kind = Q(part_kind="") | (Q(part_kind=request.part_kind) if request.part_kind else Q(pk__in=()))
    region = Q(region__isnull=True) | Q(region=request.asked_by_workshop.region_id)
    found: QuerySet[Watch] = Watch.objects.filter(family, kind, region)
    return found
