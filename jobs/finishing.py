"""Fitting and proving: how the steps of their lists stand, and signing several of them at once.

The first step of fitting needs a clear ring, which is kept from then on. Proving counts only what is younger than the
fitting; whoever fits anew proves anew.
"""

from __future__ import annotations

import datetime

from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.clearance import clearance
from jobs.lists import stages_of
from jobs.models import Job, ListedStep, SignedEntry
from jobs.requirements.kinds import Requirement
from jobs.standing import Found, Stands, stands

Stage, Step = ListedStep.Stage, SignedEntry.Step
ENDS_WITH: dict[str, SignedEntry.Step] = {Stage.FITTING: Step.FITTED, Stage.PROVING: Step.PROVED}
STAGE_OF: dict[str, str] = {step: stage for stage, step in ENDS_WITH.items()}


def began_at(found: Found, stage: str) -> datetime.datetime | None:
    """From when evidence counts: since the ring was clear, or since the part was fitted; None before that."""
    if stage == Stage.FITTING:
        return found.job.cleared_at
    fitted = [one.signed_at for one in found.entries if one.step == Step.FITTED and one.good]
    return max(fitted, default=None)


def how_it_stands(found: Found, stage: str) -> Stands:
    """Every step of the list with what meets it; before its time nothing does."""
    return stands(found, found.steps[stage], since=began_at(found, stage) or timezone.now())


def hold(found: Found, stage: str, now: Stands) -> str:
    """Why no step of the list may be signed now, or one of them may not; empty where nothing stands against it."""
    if stage == Stage.PROVING:
        begun = began_at(found, stage)
        return "" if begun else _("The part is not signed as fitted yet; proving begins after that.")
    if not (cleared := clearance(found.job, found)).clear:
        return _("Hold: %(why)s Fitting can't be signed.") % {"why": cleared.sentence}
    dead = [one for one in now.standings if not one.met and getattr(one.requirement, "dead", False)]
    if dead and found.proof is None:
        return _(
            "The proof of absence of voltage has ended; prove it again before work on high-voltage parts: %(steps)s."
        ) % {"steps": ", ".join(one.title for one in dead)}
    return ""


def last_tool(found: Found) -> str:
    """The torque tool that this job named last."""
    return next((entry.tool for entry in reversed(found.entries) if entry.tool), "")


def summed_up(found: Found, step: str) -> str:
    """What the signed steps of a list say together: the first words of the entry that ends it."""
    stage = STAGE_OF.get(step)
    if stage is None:
        return ""
    signed = found.newest
    done = [f"{one.title}: {signed[one.code].found}" for one in found.steps[stage] if one.code in signed]
    return ". ".join(done)[:2000]


def listed(job: Job, step: str) -> tuple[str, Requirement] | None:
    """The stage and the requirement of a step that stands on one of the lists of this job."""
    steps = ((stage, one) for stage, listed in stages_of(job.part).items() for one in listed)
    return next((each for each in steps if each[1].code == step), None)
