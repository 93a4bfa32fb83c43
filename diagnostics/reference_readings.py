"""Reference readings: share a record's figures without the car, take them back, and compare a new reading with them.

A reading is compared with what other cars of the same family gave that turned out sound. With fewer than five
workshops behind it that says too little; then the workshop's own earlier readings are shown instead. Nothing of this
enters the verdict: a limit judges, a comparison only makes somebody look again.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.db import transaction

from diagnostics import shared_copies
from diagnostics.calculations.reference import NORMAL_MAD, Standing, standing_among
from diagnostics.calculations.verdicts import Finding
from diagnostics.chain import hash_of_body
from diagnostics.kind import Kind
from diagnostics.kinds import kind_of
from diagnostics.models import Record, ReferenceReading, SharedFigures, Sheet, SystemFamily
from diagnostics.recording import reading_of
from diagnostics.shared_copies import ChangedMeanwhile, NotToBeShared
from network.models import Event, Membership

FEWEST_WORKSHOPS = 5
OWN_RECORDS = 50  # the newest; older ones were taken with other instruments


def draft(record: Record, *, turned: str, mileage: str) -> dict[str, Any]:
    """What every member would see, as JSON: the preview shows this, and `share` stores this."""
    return {
        "family": str(record.sheet.family) if record.sheet.family else None,
        "kind": record.kind,
        "temperature_c": record.body["temperature_c"],
        "turned": turned,
        "mileage": mileage,
        "readings": [
            {name: one[name] for name in ("quantity", "value", "uncertainty", "unit", "bound")}
            for one in record.body["findings"]
            # What was doubted, or read with nobody knows what accuracy, compares with nothing.
            if one["value"] is not None and one["uncertainty"] is not None and not one["concerns"]
        ],
    }


def can_be_shared(record: Record) -> bool:
    return bool(
        record.sheet.family_id
        and draft(record, turned="", mileage="")["readings"]
        and not Record.objects.filter(replaces=record).exists()
        and not record.figures_shared.filter(taken_back_at__isnull=True).exists()
    )


@transaction.atomic
def share(record: Record, *, by: Membership, turned: str, mileage: str, seen: str = "") -> SharedFigures:
    """Store the frozen copy; `seen` is the digest of the draft that was previewed.

    Raises ChangedMeanwhile; NotToBeShared without a family, for a record that was corrected or is shared already, and
    without a figure that stands.
    """
    Sheet.objects.select_for_update(of=("self",)).get(pk=record.sheet_id)  # nobody shares it at the same time
    family = record.sheet.family
    if family is None or not can_be_shared(record):
        raise NotToBeShared
    body = draft(record, turned=turned, mileage=mileage)
    if seen and seen != hash_of_body(body):
        raise ChangedMeanwhile
    made = SharedFigures.objects.create(
        family=family,
        **{name: body[name] for name in ("kind", "temperature_c", "turned", "mileage")},
        shared_by_workshop=by.workshop,
        shared_by=by.person,
    )
    ReferenceReading.objects.bulk_create(
        ReferenceReading(figures=made, **one | {"bound": one["bound"] or ""}) for one in body["readings"]
    )
    record.figures_shared.add(made)
    Event.record("figures_shared", made, by=by.person, workshop=by.workshop)
    return made


def take_back(figures: SharedFigures, *, by: Membership) -> bool:
    """The workshop that shared them takes them back; nobody else can. False when that was done already."""
    return shared_copies.take_back(figures, by=by, verb="figures_taken_back")


@dataclass(frozen=True, kw_only=True)
class Compared:
    """One finding among others; `standing` is None where there is nothing to compare with, or it is a bound."""

    quantity: str
    unit: str
    standing: Standing | None
    workshops: int  # behind the reference readings
    failed: int  # readings of parts that failed later
    failed_median: float | None
    own: bool  # compared with the workshop's own earlier readings, since too few workshops share theirs
    beyond: int  # readings that were bounds ("> 550") and are in no median


def compared(
    kind: Kind, family: SystemFamily | None, findings: Sequence[Finding], *, but: Record | None = None
) -> list[Compared]:
    """Each finding that has a figure, against the reference readings of its family; `but` is the record itself."""
    wanted = [one for one in findings if one.value is not None and not one.concerns]
    if family is None or not wanted:
        return []
    rows = defaultdict(list)
    shown = SharedFigures.objects.shown().filter(family=family, kind=kind.code)
    if but is not None:
        shown = shown.exclude(pk__in=but.figures_shared.values("pk"))
    for row in ReferenceReading.objects.filter(figures__in=shown).select_related("figures"):
        rows[row.quantity, row.unit].append(row)
    too_few = [one for one in wanted if _workshops(rows[one.quantity, one.unit]) < FEWEST_WORKSHOPS]
    own = _own_readings(kind, family, but) if too_few else {}
    found = [_compared(one, rows[one.quantity, one.unit], own.get((one.quantity, one.unit), [])) for one in wanted]
    return [one for one in found if one.standing or one.workshops]


def compared_record(record: Record) -> list[Compared]:
    """A stored record's findings among all others."""
    kind = kind_of(record.kind)
    return compared(kind, record.sheet.family, reading_of(record)[1].findings, but=record) if kind else []


def _compared(finding: Finding, rows: list[ReferenceReading], own: list[float]) -> Compared:
    sound = [row for row in rows if row.figures.turned == SharedFigures.Turned.SOUND]
    failed = sorted(row.value for row in rows if row.figures.turned != SharedFigures.Turned.SOUND and not row.bound)
    workshops = _workshops(rows)
    use_own = workshops < FEWEST_WORKSHOPS
    others = own if use_own else [row.value for row in sound if not row.bound]
    return Compared(
        quantity=finding.quantity,
        unit=finding.unit,
        standing=_standing(finding, others),
        workshops=workshops,
        failed=0 if use_own else len(failed),
        failed_median=None if use_own or not failed else failed[len(failed) // 2],
        own=use_own,
        beyond=0 if use_own else sum(1 for row in sound if row.bound),
    )


def _standing(finding: Finding, others: list[float]) -> Standing | None:
    """A bound is nowhere among figures; a spread finer than half the uncertainty (k = 2) is no spread."""
    if finding.bound or finding.value is None or not others:
        return None
    smallest = NORMAL_MAD * (finding.uncertainty or 0.0) / 2
    return standing_among(value=finding.value, others=others, smallest_spread=smallest)


def _workshops(rows: list[ReferenceReading]) -> int:
    """How many workshops shared a sound figure that has a place among others."""
    sound = SharedFigures.Turned.SOUND
    return len({row.figures.shared_by_workshop_id for row in rows if row.figures.turned == sound and not row.bound})


def _own_readings(kind: Kind, family: SystemFamily, but: Record | None) -> dict[tuple[str, str], list[float]]:
    """What the acting workshop read before on cars of this family: figures that nothing speaks against."""
    records = Record.objects.filter(kind=kind.code, sheet__family=family).standing().order_by("-pk")
    if but is not None:
        records = records.exclude(pk=but.pk)
    found = defaultdict(list)
    for record in records[:OWN_RECORDS]:
        for one in record.body["findings"]:
            if one["value"] is not None and not one["bound"] and not one["concerns"]:
                found[one["quantity"], one["unit"]].append(one["value"])
    return found
