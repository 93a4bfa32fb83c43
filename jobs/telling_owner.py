"""What the owner of a car is told of its job: how it stands in plain words, and mails that lead to the private page.

The mails hold the portal's own sentences and the link only.
"""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _

from jobs.models import Job, SignedEntry
from jobs.owner_link import path_for_job
from network.models import Event, Membership
from network.telling import tell

Step = SignedEntry.Step


def stand_of(job: Job) -> str:
    """The one sentence that the owner's page opens with."""
    if job.handed_over_at:
        return _("The work is done and your car is handed over.")
    signed = set(SignedEntry.objects.filter(job=job, good=True).values_list("step", flat=True))
    if Step.PROVED in signed:
        return _("Your car is repaired and tried out. The workshop will tell you when to fetch it.")
    if Step.FITTED in signed:
        return _("The part is fitted; it is being tried out.")
    if job.part_request and job.part_request.received_at is None:
        return _("The workshop waits for the part.")
    if Step.CAUSE in signed:
        return _("The cause is found.")
    return _("Your car is being looked at; the cause has no name yet.")


def tell_owner(job: Job, verb: str, by: Membership | None = None, path: str = "", **facts: Any) -> None:
    """Mail the owner, where an address is known, that something new stands on their page, or on another of theirs.

    `by` is whoever did it; None where the clock did.
    """
    address = job.vehicle.customer.email
    if not address:
        return
    tell(
        Event.record(verb, job, by=by and by.person, workshop=job.workshop),
        addresses=[address],
        template=f"mail/{verb}.txt",
        facts={"workshop": job.workshop, **facts},
        path=path or path_for_job(job),
    )
