"""Waive a requirement, with reason and name, where it may be; note what was done to the car that ends evidence."""

from __future__ import annotations

from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.clearance import requirement_of
from jobs.models import Disturbance, Job, Waiver
from network.models import Event, Membership, Qualification


class CannotBeWaived(Exception):
    """The requirement stands whoever asks, or this person may not answer for it; the text says which."""


@transaction.atomic
def waive(*, job: Job, requirement: str, reason: str, by: Membership) -> Waiver:
    """Do without one requirement of this job. Raises CannotBeWaived."""
    job = Job.objects.select_for_update(of=("self",)).get(pk=job.pk)
    asked = requirement_of(job, requirement)
    if asked is None or not asked.waivable:
        raise CannotBeWaived(_("This is never waived: proof of being dead, isolation, identity of the part."))
    if job.handed_over_at:
        raise CannotBeWaived(_("This job was handed over; nothing more is waived on it."))
    if not Qualification.objects.valid().filter(holder=by.person_id).exists():
        raise CannotBeWaived(_("Only a person with a verified, unexpired qualification may answer for a waiver."))
    waiver = Waiver(job=job, requirement=requirement, reason=reason, waived_by=by.person)
    try:
        with transaction.atomic():
            waiver.save()
    except IntegrityError:
        raise CannotBeWaived(_("Somebody waived this already.")) from None
    Event.record("requirement_waived", job, by=by.person, workshop=by.workshop, requirement=requirement)
    return waiver


@transaction.atomic
def disturb(*, job: Job, what: str, by: Membership) -> Disturbance:
    """Note what was done to the car: from now on older evidence of requirements that name it counts no more.

    What ends the proof of being dead is noted by `making_safe.change_state`.
    """
    disturbance = Disturbance(job=job, what=what, at=timezone.now(), noted_by=by.person)
    disturbance.save()
    Event.record("car_disturbed", job, by=by.person, workshop=by.workshop, what=what)
    return disturbance
