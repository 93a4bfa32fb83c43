"""Estimates of a job, for the workshop: how it stands, a draft and its lines, what was used, tables for invoicing."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from jobs import estimate_export, estimate_words, estimating
from jobs.estimate_forms import DraftForm, line_set
from jobs.models import Estimate, Job, UsedLine
from jobs.owner_link import path_for_job
from network.access import MemberRequest, member_required
from network.asked import key_of

State = Estimate.State
WITH = ("job__vehicle__customer", "job__part_request", "workshop", "made_by", "sent_by")


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def job_estimate(request: MemberRequest, pk: int) -> HttpResponse:
    """How the job stands between workshop and owner; the next version is begun here."""
    job = get_object_or_404(Job.objects.with_facts(), pk=pk)
    if request.method == "POST":
        try:
            draft = estimating.begin(job=job, by=request.membership)
        except estimating.CannotBe as why:
            messages.warning(request, str(why))
            return redirect("job_estimate", pk=pk)
        return redirect("estimate", pk=draft.pk)
    stands = estimating.standing(job)
    context = {
        "job": job,
        "stands": stands,
        "agreed": estimate_words.of_estimate(stands.agreed) if stands.agreed else None,
        "owners": f"{settings.BASE_URL}{path_for_job(job)}",
    }
    return render(request, "jobs/job_estimate.html", context)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def estimate(request: MemberRequest, pk: int) -> HttpResponse:
    """One version: a draft to be written and sent, or what was sent and what the owner said."""
    found = get_object_or_404(Estimate.objects.select_related(*WITH), pk=pk)
    if request.method == "POST" and request.POST.get("act") in ("send", "take_back", "drop"):
        return _decided(request, found)
    if found.state == State.DRAFT:
        return _written(request, found)
    told = estimate_words.shown(found)
    answer = getattr(found, "answer", None)
    context = {
        "told": told,
        "estimate": found,
        "job": found.job,
        "answer": answer,
        "text": answer.text if answer else estimate_words.text_of(told),
        "owners": f"{settings.BASE_URL}{path_for_job(found.job, 'car_estimate', number=found.number)}",
    }
    status = 409 if request.method == "POST" else 200  # it was sent while somebody wrote at it
    return render(request, "jobs/estimate.html", context, status=status)


def _written(request: MemberRequest, draft: Estimate) -> HttpResponse:
    """A draft: its form, or (`ready`) what the owner will see, with the button that sends it."""
    told = estimate_words.shown(draft)
    if request.method != "POST" and "ready" in request.GET:
        return render(request, "jobs/estimate_ready.html", {"told": told, "estimate": draft, "job": draft.job})
    sent = request.POST if request.method == "POST" else None
    form = DraftForm(sent, instance=draft, initial={"seen": draft.edit})
    rows = line_set(sent=sent, lines=draft.lines.all(), currency=draft.currency, part=draft.job.part_request)
    status = 422 if sent is not None and not (form.is_valid() & rows.is_valid()) else 200
    if sent is not None and status == 200:
        typed: dict[str, Any] = {name: form.cleaned_data[name] for name in ("words", "holds_until", "seen")}
        try:
            estimating.keep(estimate=draft, lines=rows.lines(), by=request.membership, **typed)
        except estimating.Overtaken:
            status = 409
        else:
            ready = "?ready=1" if sent.get("act") == "ready" else ""
            return redirect(f"{request.path}{ready}")
    draft.refresh_from_db()
    context = {
        "form": form,
        "rows": rows,
        "told": told,
        "estimate": draft,
        "job": draft.job,
        "overtaken": status == 409,
    }
    return render(request, "jobs/estimate_draft.html", context, status=status)


def _decided(request: MemberRequest, found: Estimate) -> HttpResponse:
    """Sent, taken back or thrown away; whoever is second is told how it stands now."""
    act, by = request.POST["act"], request.membership
    try:
        if act == "send":
            estimating.send(estimate=found, seen=key_of(request.POST.get("seen")), by=by)
        elif act == "take_back":
            estimating.take_back(estimate=found, by=by)
        else:
            estimating.drop(estimate=found, by=by)
            return redirect("job_estimate", pk=found.job_id)
    except estimating.CannotBe as why:
        messages.warning(request, str(why))
    except estimating.Overtaken:
        messages.warning(request, _("It changed while you had it open; read how it stands now."))
    return redirect("estimate", pk=found.pk)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def job_used(request: MemberRequest, pk: int) -> HttpResponse:
    """What was really done and fitted; it begins with what was agreed."""
    job = get_object_or_404(Job.objects.with_facts(), pk=pk)
    stands, seen = estimating.standing(job), estimating.used_stand(job)
    begins = stands.agreed.lines.all() if stands.agreed and not stands.used else UsedLine.objects.filter(job=job)
    sent = request.POST if request.method == "POST" else None
    currency = estimating.used_currency(job, request.membership)
    rows = line_set(sent=sent, lines=begins, currency=currency)
    status = 422 if sent is not None and not rows.is_valid() else 200
    if sent is not None and status == 200:
        seen_then = key_of(sent.get("seen"))
        try:
            estimating.note_used(job=job, lines=rows.lines(), seen=seen_then, by=request.membership)
        except estimating.Overtaken:
            status = 409
        else:
            return redirect("job_estimate", pk=pk)
    context = {
        "job": job,
        "rows": rows,
        "stands": stands,
        "seen": seen,
        "currency": currency,
        "overtaken": status == 409,
    }
    return render(request, "jobs/job_used.html", context, status=status)


@member_required
@require_safe
def job_lines_csv(request: MemberRequest, pk: int) -> HttpResponse:
    """Agreed and used lines as comma-separated text."""
    return _table(get_object_or_404(Job.objects.with_facts(), pk=pk), "csv", "text/csv; charset=utf-8")


@member_required
@require_safe
def job_lines_xlsx(request: MemberRequest, pk: int) -> HttpResponse:
    """The same for a spreadsheet."""
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
    return _table(get_object_or_404(Job.objects.with_facts(), pk=pk), "xlsx", kind)


def _table(job: Job, ending: str, kind: str) -> HttpResponse:
    answer = HttpResponse(estimate_export.lines_of(job).export(ending), content_type=kind)
    answer["Content-Disposition"] = f'attachment; filename="lines-{job.number}.{ending}"'
    return answer
