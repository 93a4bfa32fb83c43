"""What was booked in, changed later; and the quarantine of a car whose first look found something.

Two people may have the same job open. Whoever keeps a change says which version they saw: when somebody else was
quicker, nothing is overwritten, and both texts are shown (`Overtaken`). A car in quarantine leaves it only by the word
of a qualified person, after its temperature was read more than once.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.db import transaction
from django.db.models import F
from django.utils import timezone
from django.utils.translation import gettext as _

from diagnostics.models import Sheet
from jobs import working
from jobs.models import Customer, Job, SignedEntry, Vehicle, WatchedTemperature
from network.models import Event, Membership, Qualification
from network.pictures import Cleaned, keep

NOTABLE_RISE_K = 2.0  # between two readings; common practice, no source: less is the weather


class Overtaken(Exception):
    """Somebody else changed it first; the row in the database holds their text."""


@transaction.atomic
def change(
    *,
    job: Job,
    seen: int,
    by: Membership,
    customer: Mapping[str, Any],
    vehicle: Mapping[str, Any],
    noted: Mapping[str, Any],
    pictures: list[Cleaned],
) -> None:
    """Change what was booked in, if it still stands as it was seen; raises Overtaken otherwise.

    What the first look once found stays; something more begins the quarantine anew.
    """
    before = set(Job.objects.values_list("triage", flat=True).get(pk=job.pk))
    noted = {**noted, "triage": sorted(before | set(noted["triage"]))}
    if set(noted["triage"]) - before:
        noted["quarantine_ended_at"] = None
    if not Job.objects.filter(pk=job.pk, version=seen).update(version=F("version") + 1, **noted):
        raise Overtaken
    Customer.objects.filter(pk=job.vehicle.customer_id).update(**customer)
    Vehicle.objects.filter(pk=job.vehicle_id).update(**vehicle)
    Sheet.objects.filter(pk=job.sheet_id).update(family=vehicle["family"])
    job.pictures.add(*[keep(picture, by=by.person) for picture in pictures])
    Event.record("job_booking_changed", job, by=by.person, workshop=by.workshop, version=seen + 1)


@transaction.atomic
def watch(*, job: Job, celsius: float, place: str, by: Membership) -> WatchedTemperature:
    """Note a temperature of a car in quarantine."""
    reading = WatchedTemperature(job=job, celsius=celsius, place=place, taken_by=by.person)
    reading.save()
    Event.record("temperature_watched", job, by=by.person, workshop=by.workshop)
    return reading


@transaction.atomic
def end_quarantine(*, job: Job, words: str, by: Membership) -> SignedEntry:
    """A qualified person ends the quarantine; raises CannotBeSigned with the sentence that says what is missing."""
    if not Qualification.objects.valid().filter(holder=by.person_id).exists():
        raise working.CannotBeSigned(_("Only somebody with a qualification that is valid today can end it."))
    if WatchedTemperature.objects.filter(job=job).count() < 2:
        raise working.CannotBeSigned(_("Read its temperature at least twice first, with time between."))
    if not Job.objects.filter(pk=job.pk, quarantine_ended_at=None).update(quarantine_ended_at=timezone.now()):
        raise working.CannotBeSigned(_("It has ended already."))
    return working.sign(job=job, step=SignedEntry.Step.QUARANTINE_ENDED, words=words, good=True, by=by)


def how_it_goes(readings: list[WatchedTemperature]) -> str:
    """What the temperatures say, in a sentence."""
    if len(readings) < 2:
        return _("Its temperature was not read twice yet.")
    rise = readings[-1].celsius - min(one.celsius for one in readings[:-1])
    if rise > NOTABLE_RISE_K:
        return _("It has risen by %(rise).1f K: keep away and call the fire service.") % {"rise": rise}
    return _("No rise above %(limit)g K between the readings. It may still come: cells can burn after days.") % {
        "limit": NOTABLE_RISE_K
    }


def towing_advice(driven: str) -> str:
    """How a car that can't drive is moved. Turning the driven wheels turns a machine with magnets, which makes voltage.

    Source: common practice, no source; the maker's towing instructions come first.
    """
    whole = _("The maker’s towing instructions come first.")
    match driven:
        case "front":
            return _("Front wheels are driven: off the ground, or the whole car on a trailer.") + " " + whole
        case "rear":
            return _("Rear wheels are driven: off the ground, or the whole car on a trailer.") + " " + whole
        case "all":
            return _("All wheels are driven: only with the whole car on a trailer.") + " " + whole
    return _("Which wheels are driven isn’t noted: the whole car on a trailer.") + " " + whole
