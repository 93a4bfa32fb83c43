"""Fitting and proving: how the steps of their lists stand, and signing several of them at once.

The first step of fitting needs a clear ring, which is kept from then on. Proving counts only what is younger than the
fitting; whoever fits anew proves anew.
"""

from __future__ import annotations

import datetime

from django.utils import timezone
from django.utils.translation import gettext as _

from diagnostics.recording import proof_of_absence
from jobs import lists
from jobs.clearance import clearance
from jobs.models import Job, ListedStep, SignedEntry
from jobs.requirements.kinds import Requirement
from jobs.standing import Found, Stands, stands

Stage, Step = ListedStep.Stage, SignedEntry.Step
ENDS_WITH: dict[str, SignedEntry.Step] = {Stage.FITTING: Step.FITTED, Stage.PROVING: Step.PROVED}
STAGE_OF: dict[str, str] = {step: stage for stage, step in ENDS_WITH.items()}


def began_at(job: Job, stage: str, found: Found | None = None) -> datetime.datetime | None:
    """From when evidence counts: since the ring was clear, or since the part was fitted; None before that."""
    if stage == Stage.FITTING:
        return job.cleared_at
    entries = found.entries if found else SignedEntry.objects.filter(job=job, step=Step.FITTED)
    fitted = [one.signed_at for one in entries if one.step == Step.FITTED and one.good]
    return max(fitted, default=None)


def how_it_stands(job: Job, stage: str, found: Found | None = None) -> Stands:
    """Every step of the list with what meets it; before its time nothing does."""
    since = began_at(job, stage, found) or timezone.now()
    return stands(job, lists.steps_of(job.part, stage), since=since, found=found)


def hold(job: Job, stage: str, now: Stands) -> str:
    """Why no step of the list may be signed now, or one of them may not; empty where nothing stands against it."""
    if stage == Stage.PROVING:
        return "" if began_at(job, stage) else _("The part is not signed as fitted yet; proving begins after that.")
    if not (cleared := clearance(job)).clear:
        return _("Hold: %(why)s Fitting can't be signed.") % {"why": cleared.sentence}
    dead = [one for one in now.standings if not one.met and getattr(one.requirement, "dead", False)]
    if dead and proof_of_absence(job.sheet) is None:
        return _(
            "The proof of absence of voltage has ended; prove it again before work on high-voltage parts: %(steps)s."
        ) % {"steps": ", ".join(one.title for one in dead)}
    return ""


def last_tool(job: Job) -> str:
    """The torque tool that this job named last."""
    return SignedEntry.objects.filter(job=job).exclude(tool="").values_list("tool", flat=True).last() or ""


def summed_up(job: Job, step: str) -> str:
    """What the signed steps of a list say together: the first words of the entry that ends it."""
    stage = STAGE_OF.get(step)
    if stage is None:
        return ""
    entries = {entry.step: entry for entry in SignedEntry.objects.filter(job=job)}
    done = [f"{one.title}: {entries[one.code].found}" for one in lists.steps_of(job.part, stage) if one.code in entries]
    return ". ".join(done)[:2000]


def listed(job: Job, step: str) -> tuple[str, Requirement] | None:
    """The stage and the requirement of a step that stands on one of the lists of this job."""
    for stage in Stage.values:
        for one in lists.steps_of(job.part, stage):
            if one.code == step:
                return stage, one
    return None
