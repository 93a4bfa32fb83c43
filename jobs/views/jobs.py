"""A job: the one long sheet, and what is signed on it."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from diagnostics.models import SystemFamily
from jobs import drafts, estimating, finishing, working
from jobs.forms import EntryForm
from jobs.models import Job, SignedEntry
from jobs.sheet_page import asked_by, page_of
from jobs.standing import held_by
from network.access import MemberRequest, member_required
from network.asked import key_of
from parts.forms import RequestForm

# Whoever signs these is told first where the work went beyond what the owner agreed to.
SAYS_BEYOND = (SignedEntry.Step.FITTED, SignedEntry.Step.HANDED_OVER)


def _job(pk: int) -> Job:
    """A job of the acting workshop, with what its page shows; foreign and missing are both 404."""
    return get_object_or_404(Job.objects.with_facts(), pk=pk)


@member_required
@require_safe
def job(request: MemberRequest, pk: int) -> HttpResponse:
    """The job as one long sheet, in the order of the work; the present step stands open."""
    shown = _job(pk)
    page = page_of(shown, membership=request.membership, opened=request.GET.get("open", ""))
    return render(request, "jobs/job.html", {"job": shown, "page": page})


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def entry_sign(request: MemberRequest, pk: int, step: str) -> HttpResponse:
    """Sign a step: what was seen or done, in the signer's name. A step that has to wait says for what."""
    shown = _job(pk)
    if step == SignedEntry.Step.CAUSE:
        return redirect("job_cause", pk=pk)  # a cause is signed with what shows it
    asked = asked_by(shown, step)
    found = held_by(shown)
    earlier = [entry for entry in found.entries if entry.step == step]
    draft = drafts.of(job=shown, step=step, by=request.membership)
    sent = request.POST if request.method == "POST" else None
    first = {"words": finishing.summed_up(found, step), "tool": finishing.last_tool(found)} if not earlier else {}
    initial = first | draft | {"seen": len(earlier)}
    form = EntryForm(sent, ask=asked.ask, judged=asked.judged, torque=asked.torque, initial=initial)
    status = 422 if form.errors else 200
    if sent and sent.get("act") == "draft":
        drafts.keep(job=shown, step=step, by=request.membership, typed=sent)
        return redirect("entry_sign", pk=pk, step=step)
    if sent and form.is_valid():
        status = 409
        try:
            form.refuse_if_overtaken(len(earlier))
            form.sign(job=shown, step=step, by=request.membership)
        except working.CannotBeSigned as why:
            form.add_error(None, str(why))
        else:
            drafts.forget(job=shown, step=step, by=request.membership)
            return redirect(f"{reverse('job', args=[pk])}#{step}")
    context = {"job": shown, "form": form, "title": asked.title, "earlier": earlier, "step": step, "kept": draft}
    context["beyond"] = estimating.standing(shown).beyond_sentence if step in SAYS_BEYOND else ""
    return render(request, "jobs/entry_sign.html", context, status=status)


@member_required
@require_POST
def job_family(request: MemberRequest, pk: int) -> HttpResponse:
    """Name the system family of the car."""
    shown = _job(pk)
    family = SystemFamily.objects.filter(pk=key_of(request.POST.get("family"))).first()
    if family is None:
        messages.warning(request, _("Choose a system family from the list."))
    else:
        working.change_family(job=shown, family=family, by=request.membership)
    return redirect("job", pk=pk)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def job_part(request: MemberRequest, pk: int) -> HttpResponse:
    """Ask the network for the part that this job needs; the job waits for the request from then on."""
    shown = _job(pk)
    first = {"family": shown.vehicle.family_id, "description": shown.get_part_display(), "off_road": True}
    form = RequestForm(
        *((request.POST, request.FILES) if request.method == "POST" else (None, None)),
        membership=request.membership,
        initial=first,
    )
    if request.method == "POST" and form.is_valid():
        asked = working.ask_for_part(
            job=shown,
            request=form.save(commit=False),
            regions=list(form.cleaned_data["regions"]),
            pictures=form.cleaned_data["pictures"],
            by=request.membership,
        )
        return redirect("request", pk=asked.pk)
    return render(request, "jobs/job_part.html", {"job": shown, "form": form}, status=422 if form.errors else 200)
