"""The way of a job: made from an enquiry or at the counter, signed step by step, handed over.

Fitting begins only while the ring of requirements is closed, and each later step waits for the one before it.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from django.db import transaction
from django.db.models import Max
from django.utils import timezone
from django.utils.translation import gettext as _

from diagnostics.models import Sheet, SystemFamily
from diagnostics.recording import proof_of_absence
from jobs import codes as job_codes
from jobs import finishing
from jobs.clearance import as_kept, begin_fitting, clearance
from jobs.finishing import Stage
from jobs.models import CodeReading, Customer, Enquiry, Job, SignedEntry, Vehicle
from jobs.outlook import battery_words
from jobs.requirements.kinds import ByEntry, Requirement
from jobs.standing import Stands, held_by
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
    sheet = Sheet(
        title=vehicle.description,
        family=vehicle.family,
        made_by=by.person,
        asks_for_steps=True,
        odometer_km=vehicle.odometer_km,
    )
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
def sign(
    *, job: Job, step: str, words: str, good: bool, by: Membership, torque_nm: float | None = None, tool: str = ""
) -> SignedEntry:
    """Write a signed entry; raises CannotBeSigned where the step has to wait, or says too little.

    `torque_nm`, in newton metres, and the tool belong to steps of fitting that ask for them.
    """
    job = Job.objects.with_facts().select_for_update(of=("self",)).get(pk=job.pk)
    if job.handed_over_at:
        raise CannotBeSigned(_("This job was handed over; nothing more is signed on it."))
    if job.in_quarantine and step != SignedEntry.Step.QUARANTINE_ENDED:
        raise CannotBeSigned(_("Stop: the car stands in quarantine. Nothing is signed before that has ended."))
    listed = finishing.listed(job, step)
    stage = listed[0] if listed else finishing.STAGE_OF.get(step, "")
    if stage == Stage.FITTING:
        _is_clear(job)
    before = SignedEntry.Step.FITTED if stage == Stage.PROVING else COMES_AFTER.get(step)
    if before and not SignedEntry.objects.filter(job=job, step=before, good=True).exists():
        raise CannotBeSigned(_("This waits for the step before it: %(step)s.") % {"step": before.label})
    if step in finishing.STAGE_OF and good and not (stand := finishing.how_it_stands(held_by(job), stage)).clear:
        raise CannotBeSigned(_("Not yet: %(why)s") % {"why": stand.sentence})
    if listed:
        _says_enough(job, listed[1], words=words, torque_nm=torque_nm, tool=tool)
    entry = SignedEntry(
        job=job, step=step, title=str(listed[1].title) if listed else "", words=words, good=good, torque_nm=torque_nm,
        tool=tool, signed_by=by.person,
    )  # fmt: skip
    entry.save()
    if step == SignedEntry.Step.HANDED_OVER:
        Job.objects.filter(pk=job.pk).update(
            handed_over_at=entry.signed_at, battery_told=battery_words(job), cleared=as_kept(_is_clear(job))
        )
        tell_owner(job, "car_handed_over", by)
    Event.record(f"signed_{step}", job, by=by.person, workshop=by.workshop, good=good)
    return entry


def _is_clear(job: Job) -> Stands:
    """Fitting needs a closed ring from its first step on, and so does all that follows it."""
    now = clearance(job)
    if not now.clear:
        raise CannotBeSigned(_("Hold: %(why)s Neither fitting nor handover can be signed.") % {"why": now.sentence})
    if job.cleared_at is None:
        begin_fitting(job)
    return now


def _says_enough(job: Job, asked: Requirement, *, words: str, torque_nm: float | None, tool: str) -> None:
    """Whether a step of a list may be signed so."""
    if not isinstance(asked, ByEntry):
        raise CannotBeSigned(_("“%(title)s” is measured, not signed.") % {"title": asked.title})
    if asked.torque and (not torque_nm or torque_nm <= 0 or not tool):
        raise CannotBeSigned(
            _("“%(title)s”: write the torque in N·m and the tool it was tightened with.") % {"title": asked.title}
        )
    if not words and not asked.torque:
        raise CannotBeSigned(_("“%(title)s”: write down what was done.") % {"title": asked.title})
    if asked.dead and proof_of_absence(job.sheet) is None:
        raise CannotBeSigned(
            _("“%(title)s” is work on high-voltage parts, and the proof of absence of voltage has ended.")
            % {"title": asked.title}
        )


@transaction.atomic
def sign_several(*, job: Job, typed: Sequence[dict[str, Any]], by: Membership) -> list[SignedEntry]:
    """Sign several steps of a list in their order: all of them or, with CannotBeSigned, none. Each is good."""
    return [sign(job=job, good=True, by=by, **one) for one in typed]


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
    """Say what is to be fitted; the list of requirements follows. False once fitting has begun."""
    if not Job.objects.filter(pk=job.pk, cleared_at=None).update(part=part):
        return False
    Event.record("part_chosen", job, by=by.person, workshop=by.workshop, part=part)
    return True
