"""Part, clearance, fitting, proving, handing over, and what is shared afterwards."""

from __future__ import annotations

from collections.abc import Callable

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from jobs.finishing import ENDS_WITH, Stage
from jobs.models import Job, SignedEntry
from jobs.sheet_page.steps import LATER_STEPS, SheetStep, Step, signed_step
from jobs.standing import Standing, Stands
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


def cleared_step(job: Job, stands: Stands) -> SheetStep:
    numbers = _runs([s.number for s in stands.standings if not s.met])
    return SheetStep(
        code="cleared",
        name=_("Cleared to fit"),
        done=stands.clear,
        found=stands.closed if stands.clear else _("waits for %(numbers)s") % {"numbers": numbers},
        url=reverse("clearance", args=[job.pk]),
        label=_("Open the requirements"),
    )


def _runs(numbers: list[int]) -> str:
    """Numbers with what follows on taken together: 3, 6 to 9."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    words = _("%(first)d to %(last)d")
    return ", ".join(
        words % {"first": run[0], "last": run[-1]} if len(run) > 2 else ", ".join(map(str, run)) for run in runs
    )


def list_step(job: Job, entries: dict[str, SignedEntry], stage: str, going: Stands | None) -> SheetStep:
    """Fitting or proving: how far its list is, once its time has come, and what was signed when all was done."""
    step = ENDS_WITH[stage]
    shown = signed_step(job, entries, step, str(LATER_STEPS[step].title), waits_for(step))
    if going is None:
        shown.url = ""
        return shown
    shown.url, shown.label = reverse("job_list", args=[job.pk, stage]), LIST_LABELS[stage]()
    shown.details = [(one.title, done_words(one, entries)) for one in going.standings if one.met]
    if not shown.done:
        shown.found = progress(going)
    return shown


def done_words(one: Standing, entries: dict[str, SignedEntry]) -> str:
    """What meets a step: what was signed, or that a record does."""
    entry = entries.get(one.code)
    return entry.found if entry and one.state == "met" else one.why or _("met by a record")


def progress(going: Stands) -> str:
    if going.next is None:
        return _("every step is done; to be signed.")
    facts = {"done": going.met_count, "all": len(going.standings), "next": going.sentence}
    return _("%(done)d of %(all)d steps done; next %(next)s") % facts


def handed_over_step(job: Job, entries: dict[str, SignedEntry]) -> SheetStep:
    """Handing over can be signed only when the repair is proved."""
    step = Step.HANDED_OVER
    shown = signed_step(job, entries, step, str(LATER_STEPS[step].title), waits_for(step))
    proved = entries.get(Step.PROVED)
    if shown.done:
        shown.url, shown.label = reverse("report", args=[job.pk]), _("Open the report")
    elif proved is None or not proved.good:
        shown.url = ""
    else:
        shown.found = str(LATER_STEPS[step].ask)
    return shown


LIST_LABELS: dict[str, Callable[[], str]] = {
    Stage.FITTING: lambda: _("Open the steps of fitting"),
    Stage.PROVING: lambda: _("Open the steps of proving"),
}


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
    if job.handed_over_at:
        found = _("write what was learnt; nothing of the customer or the car is shared")
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
