"""All that members know of a part number, read in a fixed number of queries: for its page, and wherever it appears."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.db.models import Count, Q, Sum

from diagnostics.charts import chain
from diagnostics.models import SystemFamily
from parts import chains, superseding
from parts.carriage import Carriage, carriage
from parts.correcting import sign_of_revision
from parts.models import PartNumber, PartRequest, PartRevision, Supersession, SupplyReport


@dataclass(frozen=True, kw_only=True)
class Plate:
    """A revision with what is drawn of its plate: dots there, dots missing; and how often it was seen on receipt."""

    revision: PartRevision
    there: tuple[int, ...]
    missing: tuple[int, ...]
    pieces: int
    workshops: int
    sign: str  # of its words, for whoever confirms them


@dataclass(frozen=True, kw_only=True)
class Statement:
    """What was stated of two numbers, and the statement that contradicts it, if any."""

    said: Supersession
    contradicted_by: Supersession | None

    @property
    def disputed(self) -> bool:
        return self.said.disputed or self.contradicted_by is not None


@dataclass(frozen=True, kw_only=True)
class Known:
    """A number with its revisions, supply by region, and the numbers before and after it."""

    number: PartNumber
    plates: tuple[Plate, ...]
    supply: tuple[SupplyReport, ...]
    statements: tuple[Statement, ...]
    chart: chain.Chain | None
    carriage: Carriage | None

    @cached_property
    def replaced_by(self) -> list[PartNumber]:
        """What directly replaces it, by statements that nobody disputes."""
        steps = [one.said for one in self.statements if not one.disputed and one.said.old_id == self.number.pk]
        return [one.new for one in steps if one.kind == Supersession.Kind.REPLACED]

    @property
    def disputed(self) -> bool:
        return any(one.disputed for one in self.statements)

    @property
    def failing(self) -> list[Plate]:
        return [plate for plate in self.plates if plate.revision.fails]

    @property
    def available(self) -> list[SupplyReport]:
        return [report for report in self.supply if report.standing == SupplyReport.Standing.AVAILABLE]

    @property
    def found_with(self) -> int:
        """Pieces that were looked at on receipt."""
        return sum(plate.pieces for plate in self.plates)


def known(number: PartNumber) -> Known:
    """Everything about one number; its families should be prefetched."""
    keys = chains.connected(number.pk)
    statements = _statements(keys) if len(keys) > 1 else ()
    supply = list(
        SupplyReport.objects.newest().filter(part_number__in=keys).select_related("region", "seen_by_workshop")
    )
    return Known(
        number=number,
        plates=_plates(number),
        supply=tuple(sorted((r for r in supply if r.part_number_id == number.pk), key=lambda r: r.region.name)),
        statements=statements,
        chart=_chart(number, statements, supply) if statements else None,
        carriage=carriage_of(number),
    )


def known_as(number: str) -> list[Known]:
    """What is known of a number as somebody wrote it: one for each maker that prints it, mostly one or none."""
    rows = PartNumber.objects.called(number).prefetch_related("families").order_by("pk")
    return [known(one) for one in rows[:3]]


def carriage_for(asked: PartRequest, number: PartNumber | None) -> Carriage | None:
    """What carriage asks of what a request is about: its number where members know it, else the kind that was named."""
    found = carriage_of(number, asked.family) if number else None
    chemistries = {asked.family.chemistry} if asked.family else ()
    return found or carriage(kind=asked.part_kind, chemistries=chemistries)


def carriage_of(number: PartNumber, family: SystemFamily | None = None) -> Carriage | None:
    """What carriage asks of it, in the car at hand or in any that it fits."""
    families = [family] if family else number.families.all()
    return carriage(kind=number.kind, chemistries={one.chemistry for one in families})


def revisions_of(number: str) -> list[PartRevision]:
    """The revisions of a number as somebody wrote it, as they were entered."""
    return list(PartRevision.objects.filter(part_number__in=PartNumber.objects.called(number)))


def _plates(number: PartNumber) -> tuple[Plate, ...]:
    rows = number.revisions.select_related("entered_by_workshop", "confirmed_by_workshop")
    revisions = list(rows.prefetch_related("pictures").order_by("pk"))
    if not revisions:
        return ()
    seen = PartRequest.objects.filter(revision_seen__in=revisions).values("revision_seen")
    counts: dict[int, Any] = {
        row["revision_seen"]: row
        for row in seen.annotate(pieces=Sum("quantity"), workshops=Count("asked_by_workshop", distinct=True))
    }
    most = max((one.dots or 0 for one in revisions), default=0)
    places = tuple(78 + 13 * place for place in range(-max(0, most - 2), min(most, 2)))
    plates = []
    for one in revisions:
        count = counts.get(one.pk, {})
        there = 0 if one.dots is None else one.dots
        plates.append(
            Plate(
                revision=one,
                there=places[:there],
                missing=() if one.dots is None else places[there:],
                pieces=count.get("pieces", 0),
                workshops=count.get("workshops", 0),
                sign=sign_of_revision(one),
            )
        )
    return tuple(plates)


def _statements(keys: Sequence[int]) -> tuple[Statement, ...]:
    rows = Supersession.objects.standing().filter(Q(old__in=keys) & Q(new__in=keys))
    said = list(
        rows.select_related(
            "old", "new", "region", "picture", "entered_by_workshop", "confirmed_by_workshop", "disputed_by_workshop"
        )
    )
    against = superseding.contradicting(said)
    by_key = {one.pk: one for one in said}
    return tuple(Statement(said=one, contradicted_by=by_key.get(against.get(one.pk, 0))) for one in said)


def _chart(number: PartNumber, statements: Sequence[Statement], supply: Sequence[SupplyReport]) -> chain.Chain:
    parts = {part.pk: part for one in statements for part in (one.said.old, one.said.new)}
    steps: dict[tuple[int, int], Statement] = {}
    for one in statements:
        steps.setdefault((one.said.old_id, one.said.new_id), one)
    return chain.build(
        key=f"chain-{number.pk}",
        title=f"{number}",
        wanted=_name(number, parts),
        numbers=[
            chain.Number(
                number=_name(part, parts),
                note=_note(part),
                regions=[(r.region.name, r.standing) for r in supply if r.part_number_id == part.pk],  # type: ignore[misc]
                long_ago=frozenset(
                    r.region.name for r in supply if r.part_number_id == part.pk and r.age == SupplyReport.Age.OLD
                ),
            )
            for part in parts.values()
        ],
        steps=[
            chain.Step(
                old=_name(one.said.old, parts),
                new=_name(one.said.new, parts),
                backwards=one.said.backwards != Supersession.Backwards.NO,
                instead=one.said.kind == Supersession.Kind.INSTEAD,
                disputed=one.disputed,
                note=f"{one.said.since:%Y}" if one.said.since else "",
            )
            for one in steps.values()
        ],
    )


def _name(part: PartNumber, parts: dict[int, PartNumber]) -> str:
    """The number, with its maker where two makers print the same one."""
    same = [one for one in parts.values() if one.normalised == part.normalised]
    return part.number if len(same) < 2 else f"{part.number} ({part.maker})"


def _note(part: PartNumber) -> str:
    """What it is, short enough for its place in the drawing."""
    return part.description if len(part.description) <= 27 else part.description[:26].rstrip() + "…"
