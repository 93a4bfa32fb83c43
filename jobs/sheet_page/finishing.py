"""Part, clearance, fitting, proving, handing over, and what is shared afterwards."""

from __future__ import annotations

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs.clearance import Clearance
from jobs.models import Job, SignedEntry
from jobs.sheet_page.steps import LATER_STEPS, SheetStep, Step, signed_step
from jobs.working import COMES_AFTER
from parts.knowing import revisions_of


def part_step(job: Job) -> SheetStep:
    request = job.part_request
    if request is None:
        return SheetStep(
            code="part",
            name=_("Part"),
            done=False,
            found=_("not asked for yet"),
            url=reverse("job_part", args=[job.pk]),
            label=_("Ask for the part"),
        )
    return SheetStep(
        code="part",
        name=_("Part"),
        done=request.received_as_ordered,
        at=request.received_at or request.asked_at,
        found=f"{request.number}: {request.get_state_display()}",
        url=reverse("request", args=[request.pk]),
        label=_("Open the request"),
        details=[(one.name, one.words) for one in revisions_of(request.number)],
    )


def cleared_step(job: Job, stands: Clearance) -> SheetStep:
    numbers = ", ".join(str(s.number) for s in stands.standings if not s.met)
    return SheetStep(
        code="cleared",
        name=_("Cleared to fit"),
        done=stands.clear,
        found=_("every requirement is met") if stands.clear else _("waits for %(numbers)s") % {"numbers": numbers},
        url=reverse("clearance", args=[job.pk]),
        label=_("Open the requirements"),
    )


def later_step(job: Job, stands: Clearance, entries: dict[str, SignedEntry], step: Step, name: str) -> SheetStep:
    """Fitting, proving, handing over: can be signed only when what comes before it is done."""
    shown = signed_step(job, entries, step, name, waits_for(step))
    before = COMES_AFTER.get(step)
    may = stands.clear if step == Step.FITTED else before in entries and entries[str(before)].good
    if step == Step.HANDED_OVER and shown.done:
        shown.url, shown.label = reverse("report", args=[job.pk]), _("Open the report")
    elif not may or job.handed_over_at:
        shown.url = ""
    elif not shown.done:
        shown.found = str(LATER_STEPS[step].ask)
    return shown


def waits_for(step: str) -> str:
    return {
        Step.FITTED: _("waits for clearance"),
        Step.PROVED: _("waits for fitting: isolation, codes read again, road test"),
        Step.HANDED_OVER: _("waits for proof"),
    }[Step(step)]


def outcome_step(job: Job) -> SheetStep:
    """What was shared of it, and how long it has lasted; or the way to write it, once the car was handed over."""
    shared = job.outcome
    if shared is not None and shared.stands:
        lasted = ngettext("followed for one month", "followed for %(n)d months", shared.followed_months)
        return SheetStep(
            code="outcome",
            name=_("Outcome shared"),
            done=True,
            at=shared.shared_at,
            found=shared.symptom,
            said=str(shared.get_ended_as_display()) or lasted % {"n": shared.followed_months},
            url=reverse("outcome_stands", args=[shared.pk]),
            label=_("Say how it stands"),
        )
    found = _("waits for handover; nothing of the customer or the car is shared")
    if shared is not None:
        found = _("taken back")
        if shared.taken_down_at:
            found = _("taken down by the network: %(reason)s") % {"reason": shared.taken_down_reason}
    return SheetStep(
        code="outcome",
        name=_("Outcome shared"),
        done=False,
        found=found,
        url=reverse("outcome_share", args=[job.pk]) if job.handed_over_at else "",
        label=_("Write the outcome") if shared is None else _("Write it anew"),
    )
