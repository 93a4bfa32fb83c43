"""Share the outcome of a finished job: exactly what the preview showed, and nothing of the customer or the car.

The free texts are read for anything that could tell who or which car it was: the names, numbers and addresses that
this job knows, and whatever looks like an e-mail address, a phone number or a VIN. Such a text is refused with the
piece named, by the form and once more by the verb; the technician writes it in other words.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from diagnostics.kinds import kind_of
from diagnostics.models import Record, SystemFamily
from diagnostics.summary import found_words
from jobs import following
from jobs.models import Job, Outcome, OutcomeCode, OutcomePart
from network import pictures as storing
from network import private_text
from network.models import Event, Membership, Picture
from parts.numbers import normalise


class NotFinished(Exception):
    """An outcome is shared once, when the job was handed over."""


class TellsTooMuch(Exception):
    """A text that all members would read holds something private; `pieces` names what."""

    def __init__(self, pieces: list[str]) -> None:
        self.pieces = pieces
        super().__init__(_("Every member will read this. Write it without %(pieces)s.") % {"pieces": ", ".join(pieces)})


def private_pieces(job: Job, text: str) -> list[str]:
    """The pieces of `text` that could tell who the customer or which car it was, in words for the form."""
    found = private_text.private_pieces(text)
    flat = normalise(number=text).casefold()
    for known in known_of(job):
        words = normalise(number=known).casefold()
        if len(words) >= 3 and words in flat:
            found.append(known)
    return found


def known_of(job: Job) -> Iterable[str]:
    """What this job knows of its customer and car, word by word where it is a name."""
    vehicle, customer = job.vehicle, job.vehicle.customer
    yield from (vehicle.registration, vehicle.vin, customer.email, customer.phone)
    yield from (part for part in customer.name.split() if len(part) > 3)


def draft(job: Job) -> dict[str, Any]:
    """What would be shared as it stands: the preview shows this, and `share` stores this."""
    number = job.part_request.number if job.part_request else ""
    return {
        "family": job.vehicle.family,
        "part_kind": job.part,
        "codes": list(dict.fromkeys(str(code) for code in job.codes.as_found())),
        "parts": [number] if number else [],
        "mileage_band": mileage_band(job.vehicle.odometer_km),
        "figures": [
            {"title": str(kind.title), "found": found_words(record), "verdict": record.verdict}
            for record in Record.objects.filter(sheet=job.sheet).standing().order_by("sequence")
            if (kind := kind_of(record.kind))
        ],
        "repaired_on": _handed_over_on(job).replace(day=1),
    }


def _handed_over_on(job: Job) -> datetime.date:
    return timezone.localdate(job.handed_over_at or job.booked_in_at)


def mileage_band(odometer_km: int | None) -> str:
    """The mileage to the next 50 000 km: enough to compare, too coarse to find a car by."""
    if odometer_km is None:
        return ""
    lower = odometer_km // 50_000 * 50
    return f"{lower} to {lower + 50} thousand km"


@transaction.atomic
def share(
    *,
    job: Job,
    by: Membership,
    symptom: str,
    cause: str,
    repair_method: str,
    hours: Any = None,
    parts: Sequence[str] | None = None,
    pictures: Sequence[Picture] = (),
) -> Outcome:
    """Store the frozen copy, let the job point at it, and follow the repair from its handover on.

    `parts` replaces the number that the job asked for. Raises NotFinished before handover or when it is shared
    already, TellsTooMuch for a text that holds something private. What was taken
    back or taken down can be shared anew.
    """
    job = (
        Job.objects.select_for_update(of=("self",))
        .select_related("vehicle__customer", "vehicle__family", "part_request", "outcome")
        .get(pk=job.pk)
    )
    if job.handed_over_at is None or (job.outcome is not None and job.outcome.stands):
        raise NotFinished
    copy = draft(job)
    if parts is not None:
        copy["parts"] = list(parts)
    words = {"symptom": symptom, "cause": cause, "repair_method": repair_method, "hours": hours}
    outcome = _store(words, copy, pictures, by, tells=lambda text: private_pieces(job, text))
    following.begin(outcome=outcome, repaired_on=_handed_over_on(job), known_as=job.number)
    Job.objects.filter(pk=job.pk).update(outcome=outcome)
    return outcome


@transaction.atomic
def share_earlier(
    *,
    by: Membership,
    symptom: str,
    cause: str,
    repair_method: str,
    family: SystemFamily | None,
    part_kind: str,
    repaired_on: datetime.date,
    known_as: str,
    codes: Sequence[str] = (),
    parts: Sequence[str] = (),
    hours: Any = None,
    odometer_km: int | None = None,
) -> Outcome:
    """Share a repair from the workshop's own books, done without a job here. Raises TellsTooMuch."""
    words = {"symptom": symptom, "cause": cause, "repair_method": repair_method, "hours": hours}
    copy = {
        "family": family,
        "part_kind": part_kind,
        "codes": list(codes),
        "parts": list(parts),
        "mileage_band": mileage_band(odometer_km),
        "repaired_on": repaired_on.replace(day=1),
    }
    outcome = _store(words, copy, (), by, tells=private_text.private_pieces)
    following.begin(outcome=outcome, repaired_on=repaired_on, known_as=known_as)
    return outcome


def _store(
    words: dict[str, Any],
    copy: dict[str, Any],
    pictures: Sequence[Picture],
    by: Membership,
    *,
    tells: Callable[[str], list[str]],
) -> Outcome:
    codes, parts = copy.pop("codes"), copy.pop("parts")
    texts = (words["symptom"], words["cause"], *(picture.caption for picture in pictures))
    found = [piece for text in texts for piece in tells(text)]
    # A part number may begin with 00, which would look like a phone number.
    found += [piece for n in parts for piece in private_text.private_pieces(n, private_text.IN_A_NUMBER)]
    if found:
        raise TellsTooMuch(found)
    outcome = Outcome.objects.create(workshop=by.workshop, **words, **copy)
    OutcomeCode.objects.bulk_create([OutcomeCode(outcome=outcome, code=code) for code in codes])
    OutcomePart.objects.bulk_create(
        [OutcomePart(outcome=outcome, number=n, normalised=normalise(number=n)) for n in parts]
    )
    outcome.pictures.set([storing.share(one, by=by.person, workshop=by.workshop) for one in pictures])
    Event.record("outcome_shared", outcome, by=by.person, workshop=by.workshop)
    return outcome


@transaction.atomic
def take_back(*, outcome: Outcome, by: Membership, at: Any) -> bool:
    """The workshop that shared it takes it back; nobody else can. Its pictures go with it."""
    changed = Outcome.objects.filter(pk=outcome.pk, workshop=by.workshop, taken_back_at__isnull=True).update(
        taken_back_at=at
    )
    if changed:
        outcome.pictures.update(taken_back_at=at)
        Event.record("outcome_taken_back", outcome, by=by.person, workshop=by.workshop)
    return bool(changed)
