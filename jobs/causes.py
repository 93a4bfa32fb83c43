"""Naming the cause: what failed, what made it fail, and the records that show it.

Offered beside it: an earlier repair of ours on the same car, outcomes of the network that look alike, and the one
measurement that told their causes apart. A cause is signed like any step; whoever signs says how many they had seen
named before, so that two people don't write past each other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from django.db import transaction
from django.db.models import Q

from diagnostics.calculations.telling_apart import best_measurement
from diagnostics.models import Record
from jobs import working
from jobs.models import Cause, Job, Outcome, PictureMark, SignedEntry
from network.models import Event, Membership, Picture
from network.pictures import Cleaned, keep

MOST_ALIKE = 200
SHOWN = 8


class Overtaken(Exception):
    """Somebody named a cause since this page was opened."""


@transaction.atomic
def name(
    *,
    job: Job,
    failed_part: str,
    made_it_fail: str,
    by: Membership,
    seen: int,
    evidence: Sequence[Record] = (),
    pictures: Sequence[Cleaned] = (),
    repeat_of: Job | None = None,
) -> Cause:
    """Sign the cause; raises Overtaken, or working.CannotBeSigned where it has to wait."""
    Job.objects.select_for_update(of=("self",)).get(pk=job.pk)
    if SignedEntry.objects.filter(job=job, step=SignedEntry.Step.CAUSE).count() != seen:
        raise Overtaken
    entry = working.sign(job=job, step=SignedEntry.Step.CAUSE, words=f"{failed_part}: {made_it_fail}", good=True, by=by)
    cause = Cause(job=job, entry=entry, failed_part=failed_part, made_it_fail=made_it_fail, repeat_of=repeat_of)
    cause.save()
    cause.evidence.set(evidence)
    job.pictures.add(*[keep(picture, by=by.person) for picture in pictures])
    if repeat_of:
        Event.record("repair_came_back", repeat_of, by=by.person, workshop=by.workshop, job=job.pk)
    return cause


def mark(*, picture: Picture, x: float, y: float, words: str, by: Membership) -> PictureMark:
    """Mark a spot on a photo, in per cent of its width and height."""
    made = PictureMark(picture=picture, x=x, y=y, words=words, made_by=by.person)
    made.save()
    return made


def earlier_jobs(job: Job) -> list[Job]:
    """Jobs of ours on the same car before this one, by VIN or registration, the newest first."""
    car = job.vehicle
    same = Q(vehicle=car)
    same |= Q(vehicle__vin=car.vin) if car.vin else Q()
    same |= Q(vehicle__registration=car.registration) if car.registration else Q()
    rows = Job.objects.filter(same, booked_in_at__lt=job.booked_in_at).exclude(pk=job.pk)
    return list(rows.order_by("-booked_in_at")[:SHOWN])


@dataclass(frozen=True, kw_only=True)
class Alike:
    """Outcomes of the network that look like this job, and what told their causes apart."""

    outcomes: list[Outcome]
    measurement: str  # empty where none tells anything
    cases: int


def alike(job: Job) -> Alike:
    """Outcomes of the same system family or with one of the same codes."""
    codes = {code.code for code in job.codes.as_found()}
    match = Q(codes__code__in=codes) if codes else Q(pk__in=[])
    for code in codes:
        match |= Q(codes__code__startswith=f"{code}-")
    if job.vehicle.family_id:
        match |= Q(family=job.vehicle.family_id)
    matching = Outcome.objects.shown().filter(match).values("pk")
    rows = Outcome.objects.filter(pk__in=matching).select_related("workshop", "family")
    found = list(rows.order_by("-shared_at")[:MOST_ALIKE])
    best = best_measurement(
        causes=[one.cause.strip().casefold() for one in found],
        measured=[{str(row["title"]): str(row["verdict"]) for row in one.figures} for one in found],
    )
    return Alike(outcomes=found[:SHOWN], measurement=best[0] if best else "", cases=len(found))
