"""State that a number replaces another, confirm it, dispute it, lift the dispute, take the statement back.

A statement that would close a circle in one region is refused with the way round it. What contradicts itself across
statements (two regions that replace each other's number; a step that does not fit backwards, while another statement
uses the older number instead of the newer) stands, and is shown as disputed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from django.db import IntegrityError, connection, transaction
from django.db.models import QuerySet
from django.utils import timezone

from network.models import Event, Membership
from parts import chains
from parts.models import PartNumber, Supersession

ROUND = 500  # steps that are followed when looking for a circle
STATING = 274_100  # the name of the lock, any number that no other lock of this database has
Kind, Backwards = Supersession.Kind, Supersession.Backwards


class ClosesACircle(Exception):
    """The new number leads back to the old one; `way` are the numbers in between, from the new one to the old one."""

    def __init__(self, way: list[PartNumber]) -> None:
        self.way = way
        super().__init__(" > ".join(str(one) for one in way))


class StatedAlready(Exception):
    """The same two numbers are stated for this region; `standing` is that statement, to be confirmed or disputed."""

    def __init__(self, standing: Supersession) -> None:
        self.standing = standing
        super().__init__(str(standing))


@transaction.atomic
def state(*, statement: Supersession, by: Membership) -> Supersession:
    """Keep a statement; raises ClosesACircle or StatedAlready, and keeps nothing then."""
    statement.entered_by_workshop, statement.entered_by = by.workshop, by.person
    _in_turn()
    if statement.kind == Kind.REPLACED:
        way = _way_back(statement)
        if way:
            read = PartNumber.objects.in_bulk(way)
            raise ClosesACircle([read[key] for key in way])
    try:
        with transaction.atomic():
            statement.save()
    except IntegrityError:
        same = Supersession.objects.standing().filter(old=statement.old_id, new=statement.new_id, kind=statement.kind)
        first = same.filter(region=statement.region_id).select_related("entered_by_workshop").first()
        if not first:
            raise
        raise StatedAlready(first) from None
    _event("supersession_stated", statement, by)
    return statement


def _in_turn() -> None:
    """Statements are kept one after the other, so that of several which close a circle together the last is refused.

    A lock for all of them: locks on the numbers that hang together would be chosen before the last step joins them.
    SQLite's writers come in turn by themselves.
    """
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute("SELECT pg_advisory_xact_lock(%s)", [STATING])


def _way_back(statement: Supersession) -> list[int]:
    """Keys from the new number to the old one along what replaces what, in any one region; empty where none leads."""
    keys = chains.connected(statement.new_id, deepest=ROUND, most=10 * ROUND)
    steps = Supersession.objects.standing().replacing().filter(old__in=keys)
    edges = list(steps.values_list("old", "new", "region"))
    regions = {statement.region_id}
    if statement.region_id is None:
        regions |= {region for _old, _new, region in edges}
    for region in sorted(regions, key=lambda one: one or 0):
        way = _way([(old, new) for old, new, where in edges if where in (None, region)], statement)
        if way:
            return way
    return []


def _way(steps: Iterable[tuple[int, int]], statement: Supersession) -> list[int]:
    onward = defaultdict(list)
    for old, new in steps:
        onward[old].append(new)
    came_from: dict[int, int | None] = {statement.new_id: None}
    waiting = [statement.new_id]
    while waiting:
        here = waiting.pop(0)
        if here == statement.old_id:
            way = [here]
            while (before := came_from[way[-1]]) is not None:
                way.append(before)
            return way[::-1]
        for there in onward[here]:
            if there not in came_from:
                came_from[there] = here
                waiting.append(there)
    return []


@transaction.atomic
def confirm(*, statement: Supersession, by: Membership) -> bool:
    """A second workshop saw the same. False: it is confirmed, taken back, disputed by them, or their own."""
    open_ones = _of_others(statement, by).filter(confirmed_at__isnull=True)
    changed = open_ones.exclude(disputed_by_workshop=by.workshop_id, disputed_at__isnull=False).update(
        confirmed_by_workshop=by.workshop, confirmed_by=by.person, confirmed_at=timezone.now()
    )
    return _done(changed, "supersession_confirmed", statement, by)


@transaction.atomic
def dispute(*, statement: Supersession, by: Membership, reason: str) -> bool:
    """Another workshop saw it otherwise, and says how. False: it is disputed, taken back, or their own."""
    free = _of_others(statement, by).filter(disputed_at__isnull=True)
    changed = free.update(
        disputed_by_workshop=by.workshop, disputed_by=by.person, disputed_at=timezone.now(), dispute_reason=reason
    )
    return _done(changed, "supersession_disputed", statement, by)


@transaction.atomic
def lift(*, statement: Supersession, by: Membership) -> bool:
    """Whoever disputed it no longer does. False: the dispute isn't theirs, or is lifted."""
    theirs = Supersession.objects.standing().filter(pk=statement.pk, disputed_by_workshop=by.workshop_id)
    changed = theirs.update(disputed_by_workshop=None, disputed_by=None, disputed_at=None, dispute_reason="")
    return _done(changed, "supersession_dispute_lifted", statement, by)


@transaction.atomic
def take_back(*, statement: Supersession, by: Membership) -> bool:
    """Whoever stated it no longer does. False: it isn't theirs, or was taken back."""
    own = Supersession.objects.standing().filter(pk=statement.pk, entered_by_workshop=by.workshop_id)
    return _done(own.update(taken_back_at=timezone.now()), "supersession_taken_back", statement, by)


def _of_others(statement: Supersession, by: Membership) -> QuerySet[Supersession]:
    rows = Supersession.objects.standing().filter(pk=statement.pk)
    return rows.exclude(entered_by_workshop=by.workshop_id)


def _done(changed: int, verb: str, statement: Supersession, by: Membership) -> bool:
    if changed:
        _event(verb, statement, by)
    return bool(changed)


def _event(verb: str, statement: Supersession, by: Membership) -> None:
    facts = {"old": statement.old_id, "new": statement.new_id}
    Event.record(verb, statement, by=by.person, workshop=by.workshop, **facts)


def contradicting(statements: Iterable[Supersession]) -> dict[int, int]:
    """Keys of statements that contradict another one, each with the key of a statement that it contradicts.

    Two numbers that replace each other (in two regions, or a circle that slipped in); and a step that does not fit
    backwards beside a statement that uses the older number instead of the newer.
    """
    listed = list(statements)
    by_pair: dict[tuple[int, int], list[Supersession]] = defaultdict(list)
    for one in listed:
        by_pair[one.old_id, one.new_id].append(one)
    found: dict[int, int] = {}
    for one in listed:
        if one.kind != Kind.REPLACED:
            continue
        for other in by_pair[one.new_id, one.old_id]:
            both_ways = other.kind == Kind.REPLACED
            back_all_the_same = other.kind == Kind.INSTEAD and one.backwards == Backwards.NO
            if both_ways or back_all_the_same:
                found[one.pk] = other.pk
                found[other.pk] = one.pk
    return found
