"""Members write down what they know of a part number: the number itself, its revisions, what the trade says of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from django.db import IntegrityError, transaction

from diagnostics.models import SystemFamily
from network import pictures
from network.models import Event, Membership
from network.pictures import Cleaned
from parts.models import PartNumber, PartRevision, SupplyReport
from parts.numbers import normalise


class KnownAlready(Exception):
    """The number of this maker is there; `known` is its row."""

    def __init__(self, known: PartNumber) -> None:
        self.known = known
        super().__init__(str(known))


class NamedAlready(Exception):
    """The number has a revision of this name."""


@transaction.atomic
def enter_number(*, number: PartNumber, families: Iterable[SystemFamily], by: Membership) -> PartNumber:
    """Add a number to what all members know; raises KnownAlready. A maker is spelt as it was spelt first."""
    spelt = PartNumber.objects.filter(maker__iexact=number.maker).order_by("pk").values_list("maker", flat=True)
    number.maker = spelt.first() or number.maker
    number.entered_by_workshop, number.entered_by = by.workshop, by.person
    try:
        with transaction.atomic():
            number.save()
    except IntegrityError:
        same = PartNumber.objects.filter(normalised=normalise(number=number.number), maker__iexact=number.maker)
        raise KnownAlready(same.get()) from None
    number.families.set(families)
    Event.record("part_number_entered", number, by=by.person, workshop=by.workshop)
    return number


def counterpart(text: str, *, like: PartNumber, by: Membership) -> PartNumber:
    """The number as somebody wrote it beside another one: of the same maker where several print it; entered if new."""
    rows = list(PartNumber.objects.called(text).order_by("pk"))
    for row in sorted(rows, key=lambda one: one.maker.lower() != like.maker.lower()):
        return row
    fresh = PartNumber(number=text, maker=like.maker, kind=like.kind, description=like.description)
    try:
        return enter_number(number=fresh, families=like.families.all(), by=by)
    except KnownAlready as already:  # somebody else entered it in the same moment
        return already.known


@transaction.atomic
def add_families(*, number: PartNumber, families: Sequence[SystemFamily], by: Membership) -> None:
    """The number fits these system families as well."""
    number.families.add(*families)
    keys = [family.pk for family in families]
    Event.record("part_number_fits", number, by=by.person, workshop=by.workshop, families=keys)


@transaction.atomic
def enter_revision(*, revision: PartRevision, photos: Iterable[Cleaned], by: Membership) -> PartRevision:
    """Add a revision with photos that every member may see; raises NamedAlready."""
    revision.entered_by_workshop, revision.entered_by = by.workshop, by.person
    try:
        with transaction.atomic():
            revision.save()
    except IntegrityError:
        raise NamedAlready from None
    revision.pictures.set(share_all(photos, caption=f"{revision.part_number}, {revision.name}", by=by))
    Event.record("revision_entered", revision, by=by.person, workshop=by.workshop)
    return revision


@transaction.atomic
def report_supply(*, report: SupplyReport, by: Membership) -> SupplyReport:
    """Add what a region's trade said of a number on a day."""
    report.seen_by_workshop, report.seen_by = by.workshop, by.person
    report.save()
    Event.record("supply_reported", report, by=by.person, workshop=by.workshop, standing=report.standing)
    return report


def share_all(photos: Iterable[Cleaned], *, caption: str, by: Membership) -> list[pictures.SharedPicture]:
    """Keep photos that were meant for every member from the start."""
    return [pictures.share_new(photo, by=by.person, workshop=by.workshop, caption=caption[:120]) for photo in photos]
