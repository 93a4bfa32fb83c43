"""An estimate that nobody answered in time lapses: its owner is mailed, and the workshop's people are told, once each.

The day alone makes it lapse (`Estimate.lapsed`), so nothing waits for this; it only says so. Nobody is told about a
car that was handed over meanwhile, nor about a version that a later one replaced.
"""

from __future__ import annotations

import datetime

from django.db import transaction
from django.utils import timezone

from jobs.models import Estimate
from jobs.owner_link import path_for_job
from jobs.telling_owner import tell_owner
from network.access import acting_for
from network.models import Event, User, Workshop
from network.telling import tell


def tell_of_lapsed(on: datetime.date | None = None) -> int:
    """Tell of every estimate that held until before this day; returns of how many."""
    day = on or timezone.localdate()
    told = 0
    for workshop in Workshop.objects.public().order_by("pk"):
        with acting_for(workshop):
            told += sum(_tell(one) for one in Estimate.objects.lapsed_untold(day).values_list("pk", flat=True))
    return told


@transaction.atomic
def _tell(key: int) -> int:
    """One lapsed version, in one transaction; 0 where somebody else told of it, or where it was answered at last."""
    waiting = Estimate.objects.filter(pk=key, state=Estimate.State.SENT, lapse_told_at__isnull=True)
    if not waiting.update(lapse_told_at=timezone.now()):
        return 0
    lapsed = Estimate.objects.select_related("workshop", "job__vehicle__customer").get(pk=key)
    tell(
        Event.record("estimate_lapsed", lapsed, workshop=lapsed.workshop, version=lapsed.number),
        people=User.objects.filter(memberships__in=lapsed.workshop.memberships.able_to_act()),
        template="mail/estimate_lapsed.txt",
        facts={"estimate": lapsed, "job": lapsed.job},
        path=f"/jobs/{lapsed.job_id}/estimate/",
    )
    path = path_for_job(lapsed.job, "car_estimate", number=lapsed.number)
    tell_owner(lapsed.job, "owners_estimate_lapsed", path=path, day=lapsed.holds_until)
    return 1
