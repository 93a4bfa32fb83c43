"""Share the outcome of a finished job: exactly what the preview showed, and nothing of the customer or the car.

The free texts are read for anything that could tell who or which car it was: the names, numbers and addresses that
this job knows, and whatever looks like an e-mail address, a phone number or a VIN. Such a text is refused with a
sentence that names the piece; the technician writes it in other words.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.db import transaction

from diagnostics.kinds import kind_of
from diagnostics.models import Record
from diagnostics.summary import found_words
from jobs.models import Job, Outcome, OutcomeCode, OutcomePart
from network import private_text
from network.models import Event, Membership
from parts.numbers import normalise


class NotFinished(Exception):
    """An outcome is shared once, when the job was handed over."""


def private_pieces(job: Job, text: str) -> list[str]:
    """The pieces of `text` that could tell who the customer or which car it was, in words for the form."""
    found = private_text.private_pieces(text)
    flat = normalise(number=text).casefold()
    for known in _known_of(job):
        words = normalise(number=known).casefold()
        if len(words) >= 3 and words in flat:
            found.append(known)
    return found


def _known_of(job: Job) -> Iterable[str]:
    vehicle, customer = job.vehicle, job.vehicle.customer
    yield from (vehicle.registration, vehicle.vin, customer.email, customer.phone)
    yield from (part for part in customer.name.split() if len(part) > 3)


def draft(job: Job) -> dict[str, Any]:
    """What would be shared as it stands: the preview shows this, and `share` stores this."""
    number = job.part_request.number if job.part_request else ""
    return {
        "family": job.vehicle.family,
        "part_kind": job.part,
        "codes": [code.code for code in job.codes.all()],
        "parts": [number] if number else [],
        "mileage_band": mileage_band(job.vehicle.odometer_km),
        "figures": [
            {"title": str(kind.title), "found": found_words(record), "verdict": record.verdict}
            for record in Record.objects.filter(sheet=job.sheet).standing().order_by("sequence")
            if (kind := kind_of(record.kind))
        ],
        "repaired_on": (job.handed_over_at or job.booked_in_at).date().replace(day=1),
    }


def mileage_band(odometer_km: int | None) -> str:
    """The mileage to the next 50 000 km: enough to compare, too coarse to find a car by."""
    if odometer_km is None:
        return ""
    lower = odometer_km // 50_000 * 50
    return f"{lower} to {lower + 50} thousand km"


@transaction.atomic
def share(*, job: Job, by: Membership, symptom: str, cause: str, repair_method: str, hours: Any = None) -> Outcome:
    """Store the frozen copy and let the job point at it; raises NotFinished before handover or when shared already."""
    job = (
        Job.objects.select_for_update(of=("self",))
        .select_related("vehicle__customer", "vehicle__family", "part_request")
        .get(pk=job.pk)
    )
    if job.handed_over_at is None or job.outcome_id is not None:
        raise NotFinished
    copy = draft(job)
    codes, parts = copy.pop("codes"), copy.pop("parts")
    outcome = Outcome.objects.create(
        workshop=by.workshop, symptom=symptom, cause=cause, repair_method=repair_method, hours=hours, **copy
    )
    OutcomeCode.objects.bulk_create([OutcomeCode(outcome=outcome, code=code) for code in codes])
    OutcomePart.objects.bulk_create(
        [OutcomePart(outcome=outcome, number=n, normalised=normalise(number=n)) for n in parts]
    )
    Job.objects.filter(pk=job.pk).update(outcome=outcome)
    Event.record("outcome_shared", outcome, by=by.person, workshop=by.workshop)
    return outcome


@transaction.atomic
def take_back(*, outcome: Outcome, by: Membership, at: Any) -> bool:
    """The workshop that shared it takes it back; nobody else can."""
    changed = Outcome.objects.filter(pk=outcome.pk, workshop=by.workshop, taken_back_at__isnull=True).update(
        taken_back_at=at
    )
    if changed:
        Event.record("outcome_taken_back", outcome, by=by.person, workshop=by.workshop)
    return bool(changed)
