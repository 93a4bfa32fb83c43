"""A verified paper never runs out in silence: its holder and the managers of their workshops are told, twice.

Once when it has less than sixty days left, once when it has run out. Nobody is told of a paper whose work another
verified paper of the same person covers for longer. Each telling is a conditional update, so that two at once tell
nobody twice.
"""

from __future__ import annotations

import datetime

from django.db import transaction
from django.utils import timezone

from network import work
from network.models import Event, Qualification
from network.papers import concerned
from network.showing import SOON
from network.telling import tell


def tell_of_papers(on: datetime.date | None = None) -> int:
    """Tell of the papers that run out soon, and of those that have; returns of how many."""
    day = on or timezone.localdate()
    verified = Qualification.objects.filter(state=Qualification.State.VERIFIED, holder__is_active=True)
    soon = verified.filter(expires_on__gte=day, expires_on__lt=day + SOON, soon_told_at__isnull=True)
    over = verified.filter(expires_on__lt=day, over_told_at__isnull=True)
    told = sum(_tell(one, "soon_told_at", "paper_runs_out_soon") for one in soon.select_related("holder"))
    return told + sum(_tell(one, "over_told_at", "paper_ran_out") for one in over.select_related("holder"))


@transaction.atomic
def _tell(paper: Qualification, noted_in: str, verb: str) -> int:
    """One paper; 0 where somebody else told of it, or where a later one has taken its place."""
    if _replaced(paper):
        return 0
    untold = Qualification.objects.filter(pk=paper.pk, **{f"{noted_in}__isnull": True})
    if not untold.update(**{noted_in: timezone.now()}):
        return 0
    tell(
        Event.record(verb, paper),
        people=concerned(paper),
        template=f"mail/{verb}.txt",
        facts={"paper": paper, "covers": ", ".join(work.phrases(paper.work_bits))},
        path="/our-workshop/",
    )
    return 1


def _replaced(paper: Qualification) -> bool:
    """Whether later papers of the same person cover all of its work, and live work where it allowed that."""
    later = Qualification.objects.filter(
        holder=paper.holder_id, state=Qualification.State.VERIFIED, expires_on__gt=paper.expires_on
    )
    bits, live = 0, False
    for one in later:
        bits, live = bits | one.work_bits, live or one.live_work
    return bits & paper.work_bits == paper.work_bits and (live or not paper.live_work)
