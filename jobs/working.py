"""The way of a job: made from an enquiry or at the counter, signed step by step, handed over.

Fitting is signed only while the ring of requirements is closed, and each later step only after the one before it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.db import transaction
from django.db.models import Max
from django.utils import timezone
from django.utils.translation import gettext as _

from diagnostics.models import Sheet, SystemFamily
from jobs import codes as job_codes
from jobs.clearance import clearance
from jobs.models import CodeReading, Customer, Enquiry, Job, SignedEntry, Vehicle
from jobs.telling_owner import tell_owner
from network.models import Event, Membership, Region
from network.pictures import Cleaned, keep
from parts import sourcing
from parts.models import PartRequest

COMES_AFTER: dict[str, SignedEntry.Step] = {
    SignedEntry.Step.PROVED: SignedEntry.Step.FITTED,
    SignedEntry.Step.HANDED_OVER: SignedEntry.Step.PROVED,
}


class CannotBeSigned(Exception):
    """The step can't be signed now; the text is the sentence that says why."""


class EnquiryClosed(Exception):
    """The enquiry was withdrawn, or somebody made a job of it first; `enquiry` is the row as it stands."""

    def __init__(self, enquiry: Enquiry) -> None:
        self.enquiry = enquiry
        super().__init__(f"Enquiry {enquiry.pk} is {enquiry.state}.")


@transaction.atomic
def book_in(
    *,
    by: Membership,
    customer: Customer,
    vehicle: Vehicle,
    complaint: str,
    codes: tuple[str, ...] = (),
    enquiry: Enquiry | None = None,
    pictures: Sequence[Cleaned] = (),
    **noted: Any,
) -> Job:
    """Make a job with its sheet; `noted` are further fields of the job, such as triage and what the owner agreed to.

    Taking an enquiry on happens once: raises EnquiryClosed for whoever is second. Its photos go to the job as well.
    """
    if enquiry is not None:
        won = Enquiry.objects.open().filter(pk=enquiry.pk).update(state=Enquiry.State.JOB_MADE)
        enquiry.refresh_from_db()
        if not won:
            raise EnquiryClosed(enquiry)
    customer.save()
    vehicle.customer = customer
    vehicle.save()
    sheet = Sheet(title=vehicle.description, family=vehicle.family, made_by=by.person, asks_for_steps=True)
    sheet.save()
    job = Job(
        number=_next_number(),
        enquiry=enquiry,
        vehicle=vehicle,
        sheet=sheet,
        odometer_km=vehicle.odometer_km,
        complaint=complaint,
        booked_in_by=by.person,
        **noted,
    )
    job.save()
    job.pictures.set([keep(picture, by=by.person) for picture in pictures])
    if enquiry is not None:
        job.pictures.add(*enquiry.pictures.all())
    if codes:
        job_codes.add(job=job, codes=job_codes.read(text=" ".join(codes), form=CodeReading.Form.TEXT), by=by)
    Event.record("job_booked_in", job, by=by.person, workshop=by.workshop)
    if enquiry is not None:
        enquiry.tell_owner("enquiry_taken_on", by)
    return job


def _next_number() -> str:
    """Year, month and a count within the workshop: 2611-038. The unique constraint settles a race by an error."""
    month = timezone.localdate().strftime("%y%m")
    last = Job.objects.filter(number__startswith=f"{month}-").aggregate(last=Max("number"))["last"]
    return f"{month}-{int(last.partition('-')[2]) + 1 if last else 1:03d}"


@transaction.atomic
def sign(*, job: Job, step: str, words: str, good: bool, by: Membership) -> SignedEntry:
    """Write a signed entry; raises CannotBeSigned where the step has to wait."""
    job = Job.objects.with_facts().select_for_update(of=("self",)).get(pk=job.pk)
    if job.handed_over_at:
        raise CannotBeSigned(_("This job was handed over; nothing more is signed on it."))
    if job.in_quarantine and step != SignedEntry.Step.QUARANTINE_ENDED:
        raise CannotBeSigned(_("Stop: the car stands in quarantine. Nothing is signed before that has ended."))
    if step == SignedEntry.Step.FITTED and not (stands := clearance(job)).clear:
        raise CannotBeSigned(_("Hold: %(why)s Fitting can't be signed.") % {"why": stands.sentence})
    before = COMES_AFTER.get(step)
    if before and not SignedEntry.objects.filter(job=job, step=before, good=True).exists():
        raise CannotBeSigned(_("This waits for the step before it: %(step)s.") % {"step": before.label})
    entry = SignedEntry(job=job, step=step, words=words, good=good, signed_by=by.person)
    entry.save()
    if step == SignedEntry.Step.HANDED_OVER:
        Job.objects.filter(pk=job.pk).update(handed_over_at=entry.signed_at)
        tell_owner(job, "car_handed_over", by)
    Event.record(f"signed_{step}", job, by=by.person, workshop=by.workshop, good=good)
    return entry


@transaction.atomic
def ask_for_part(
    *, job: Job, request: PartRequest, regions: list[Region], by: Membership, pictures: Sequence[Cleaned] = ()
) -> PartRequest:
    """Put the request on the board and let the job wait for it: both or neither."""
    asked = sourcing.ask(request=request, regions=regions, by=by, pictures=pictures)
    Job.objects.filter(pk=job.pk).update(part_request=asked)
    Event.record("job_waits_for_part", job, by=by.person, workshop=by.workshop, request=asked.pk)
    return asked


@transaction.atomic
def change_family(*, job: Job, family: SystemFamily, by: Membership) -> None:
    """Name the system family of the car; records taken from now on are judged by it."""
    Vehicle.objects.filter(pk=job.vehicle_id).update(family=family)
    Sheet.objects.filter(pk=job.sheet_id).update(family=family)
    Event.record("family_named", job, by=by.person, workshop=by.workshop, family=family.pk)


@transaction.atomic
def choose_part(*, job: Job, part: str, by: Membership) -> bool:
    """Say what is to be fitted; the list of requirements follows. False once something was fitted."""
    if SignedEntry.objects.filter(job=job, step=SignedEntry.Step.FITTED).exists():
        return False
    Job.objects.filter(pk=job.pk).update(part=part)
    Event.record("part_chosen", job, by=by.person, workshop=by.workshop, part=part)
    return True
