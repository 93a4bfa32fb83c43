"""Clearance to fit: hold or clear, and why.

A part is fitted only when every requirement of its list is met by what was recorded, signed or received on this job,
or waived with a reason and a name where it may be. Anything else is a hold, and the first requirement that stands open
is said first. Nothing here is ever "safe": a closed ring means that the evidence asked for is there, no more.

Once fitting has begun, what stood then counts on: the car is woken again, and the next day is another day. Only a
correction of what was measured opens a requirement again. At handover how it stood is kept for good.
"""

from __future__ import annotations

from typing import Any

from django.utils import timezone

from jobs.lists import stages_of
from jobs.models import Job
from jobs.requirements import REQUIREMENTS, Requirement
from jobs.standing import Found, Standing, Stands, held_by, stands


def clearance(job: Job, found: Found | None = None) -> Stands:
    """How every requirement of the job's part stands; once it was handed over, how it stood."""
    if job.cleared is not None:
        return Stands(standings=tuple(Standing(**kept) for kept in job.cleared))
    return stands(found or held_by(job), REQUIREMENTS[job.part])


def begin_fitting(job: Job) -> None:
    """From now on what stands counts on. Call it under the job's lock, with a clearance that is clear."""
    job.cleared_at = timezone.now()
    Job.objects.filter(pk=job.pk).update(cleared_at=job.cleared_at)


def as_kept(cleared: Stands) -> list[dict[str, Any]]:
    """How it stands, as a job keeps it from handover on."""
    return [
        {"number": one.number, "code": one.code, "title": one.title, "state": one.state, "why": one.why}
        for one in cleared.standings
    ]


def requirement_of(job: Job, code: str) -> Requirement | None:
    """The requirement of this code on any list of the job: clearance, fitting or proving."""
    asked = (*REQUIREMENTS[job.part], *(one for steps in stages_of(job.part).values() for one in steps))
    return next((one for one in asked if one.code == code), None)
