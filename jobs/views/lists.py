"""The steps of fitting and proving on a job, and the workshop's own lists of them."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from jobs import drafts, finishing, lists, ring, working
from jobs.list_forms import ListedStepForm, StepsForm, WordsForm
from jobs.lists import NETWORKS
from jobs.models import Job, ListedStep
from jobs.sheet_page import done_words, segments_of, way_to
from jobs.standing import Found, held_by
from network.access import MemberRequest, member_required

Stage = ListedStep.Stage


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def job_list(request: MemberRequest, pk: int, stage: str) -> HttpResponse:
    """The steps of fitting or proving, as they stand; several are signed at once."""
    job = get_object_or_404(Job.objects.with_facts(), pk=pk)
    found = held_by(job)
    stands = finishing.how_it_stands(found, _stage(stage))
    kept = drafts.of(job=job, step=stage, by=request.membership)
    sent = request.POST if request.method == "POST" else None
    form = StepsForm(sent, standings=stands.standings, tool=finishing.last_tool(found), initial=kept)
    status = 422 if form.errors else 200
    if sent and sent.get("act") == "draft":
        drafts.keep(job=job, step=stage, by=request.membership, typed=sent)
        return redirect("job_list", pk=pk, stage=stage)
    if sent and form.is_valid():
        try:
            working.sign_several(job=job, typed=form.filled, by=request.membership)
        except working.CannotBeSigned as why:
            form.add_error(None, str(why))
            status = 409
        else:
            drafts.forget(job=job, step=stage, by=request.membership)
            return redirect("job_list", pk=pk, stage=stage)
    return render(request, "jobs/job_list.html", _shown(found, stage, stands, form), status=status)


def _shown(found: Found, stage: str, stands: Any, form: StepsForm) -> dict[str, Any]:
    job, entries = found.job, found.newest
    ending = finishing.ENDS_WITH[stage]
    began, hold = finishing.began_at(found, stage) is not None, finishing.hold(found, stage, stands)
    return {
        "job": job,
        "stage": Stage(stage),
        "stands": stands,
        "form": form,
        "rows": [
            {
                "row": row,
                "entry": entries.get(row.standing.code) if row.standing.state == "met" else None,
                "found": done_words(row.standing, entries) if row.standing.met else row.standing.why,
                "url": "" if row.standing.met or row.fields else way_to(job, row.standing.requirement),
            }
            for row in form.rows
        ],
        "ring": ring.build(segments=segments_of(stands)),
        "began": began,
        "hold": hold,
        "may_sign": (began or not hold) and not job.handed_over_at,
        "ending": ending,
        "ended": entries.get(ending),
    }


@member_required
@require_safe
def work_lists(request: MemberRequest) -> HttpResponse:
    """Every list that this workshop works by: its own, or the network's."""
    own = lists.own_lists()
    rows = [
        {
            "part": part,
            "stages": [
                {
                    "stage": stage,
                    "own": (part, stage) in own,
                    "steps": len(own.get((part, stage)) or NETWORKS[stage][part]),
                }
                for stage in Stage
            ],
        }
        for part in Job.Part
    ]
    return render(request, "jobs/work_lists.html", {"rows": rows, "own": len(own)})


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def work_list(request: MemberRequest, part: str, stage: str) -> HttpResponse:
    """One list: its steps in their order, and a form that adds one."""
    _stage(stage)
    if part not in Job.Part.values:
        raise Http404
    form = ListedStepForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        lists.add(part=part, stage=stage, by=request.membership, **form.typed)
        messages.success(request, _("Put on the list."))
        return redirect("work_list", part=part, stage=stage)
    context = {
        "part": Job.Part(part),
        "stage": Stage(stage),
        "rows": lists.shown(part, stage),
        "own": bool(lists.own_lists(part=part, stage=stage)),
        "changes": lists.changes(request.membership.workshop, part, stage),
        "form": form,
    }
    return render(request, "jobs/work_list.html", context, status=422 if form.errors else 200)


@member_required
@require_POST
def work_list_change(request: MemberRequest, part: str, stage: str) -> HttpResponse:
    """Move a step, take it out, call it otherwise, or go back to the network's list."""
    _stage(stage)
    if part not in Job.Part.values:
        raise Http404
    where: dict[str, Any] = {"part": part, "stage": stage, "by": request.membership}
    code, act = request.POST.get("code", ""), request.POST.get("act", "")
    words = WordsForm(request.POST)
    try:
        if act in ("up", "down"):
            lists.move(code=code, up=act == "up", **where)
        elif act == "out":
            lists.take_out(code=code, **where)
        elif act == "back":
            lists.back_to_the_networks(**where)
        elif words.is_valid():
            lists.change(code=code, title=words.cleaned_data["title"], ask=words.cleaned_data["ask"], **where)
        else:
            messages.warning(request, _("A step needs a title, of at most 80 signs."))
    except lists.CannotBeChanged as why:
        messages.warning(request, str(why))
    return redirect("work_list", part=part, stage=stage)


def _stage(stage: str) -> str:
    if stage not in Stage.values:
        raise Http404
    return stage
