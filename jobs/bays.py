"""Which car stands in which bay: a car stands in one bay, a bay holds one car."""

from __future__ import annotations

from django.db import transaction
from django.db.models import Q

from jobs.models import Bay, Job
from network.models import Event, Membership


@transaction.atomic
def enter(bay: Bay, *, by: Membership) -> Bay:
    bay.save()
    Event.record("bay_entered", bay, by=by.person, workshop=by.workshop)
    return bay


@transaction.atomic
def put_in(bay: Bay, job: Job, *, by: Membership) -> bool:
    """The job's car now stands here, and nowhere else. False where another one stands here, or it was handed over."""
    job = Job.objects.select_for_update(of=("self",)).get(pk=job.pk)  # nobody puts it elsewhere at the same time
    if job.handed_over_at is not None:
        return False
    Bay.objects.filter(job=job).exclude(pk=bay.pk).update(job=None)
    gone = Job.objects.exclude(handed_over_at=None).values("pk")
    empty = Q(job=None) | Q(job=job.pk) | Q(job__in=gone)
    if not Bay.objects.filter(empty, pk=bay.pk).update(job=job):
        transaction.set_rollback(True)  # the car stays where it stood
        return False
    Event.record("bay_taken", bay, by=by.person, workshop=by.workshop, job=job.pk)
    return True


@transaction.atomic
def clear(bay: Bay, *, by: Membership) -> bool:
    """The bay is empty again; False where it was."""
    changed = Bay.objects.filter(pk=bay.pk).exclude(job=None).update(job=None)
    if changed:
        Event.record("bay_cleared", bay, by=by.person, workshop=by.workshop)
    return bool(changed)
