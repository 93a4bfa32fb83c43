"""Outcomes: shared after a preview of exactly what will be seen; found by family, trouble code or part number."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from jobs import sharing
from jobs.forms import OutcomeForm
from jobs.models import Job, Outcome
from network.access import MemberRequest, member_required
from network.asked import words_to_find


@member_required
@require_safe
def outcomes(request: MemberRequest) -> HttpResponse:
    """What the network knows of one family, code or part number; without a search, the newest."""
    wanted = words_to_find(request)
    rows = Outcome.objects.shown().select_related("family", "workshop").prefetch_related("codes", "parts")
    found = rows.about(wanted) if wanted else rows
    context = {
        "wanted": wanted,
        "page": Paginator(found.order_by("-shared_at", "-pk"), 25).get_page(request.GET.get("page")),
    }
    return render(request, "jobs/outcomes.html", context)


@member_required
@require_safe
def outcome(request: MemberRequest, pk: int) -> HttpResponse:
    shown = get_object_or_404(Outcome.objects.shown().select_related("family", "workshop"), pk=pk)
    own = shown.workshop_id == request.membership.workshop_id
    return render(request, "jobs/outcome.html", {"outcome": shown, "own": own})


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def outcome_share(request: MemberRequest, pk: int) -> HttpResponse:
    """Write it, see exactly what every member would see, and only then share it."""
    rows = Job.objects.select_related("vehicle__customer", "vehicle__family", "part_request", "sheet")
    job = get_object_or_404(rows, pk=pk)
    form = OutcomeForm(request.POST if request.method == "POST" else None, job=job)
    context = {"job": job, "form": form, "draft": sharing.draft(job)}
    if request.method != "POST":
        return render(request, "jobs/outcome_share.html", context)
    if not form.is_valid():
        return render(request, "jobs/outcome_share.html", context, status=422)
    if request.POST.get("act") != "share":
        return render(request, "jobs/outcome_share.html", context | {"preview": form.instance})
    try:
        shared = sharing.share(job=job, by=request.membership, **form.cleaned_data)
    except sharing.NotFinished:
        form.add_error(None, _("An outcome is shared once, after the job was handed over."))
        return render(request, "jobs/outcome_share.html", context, status=409)
    return redirect("outcome", pk=shared.pk)


@member_required
@require_POST
def outcome_take_back(request: MemberRequest, pk: int) -> HttpResponse:
    """The workshop that shared it takes it back."""
    shown = get_object_or_404(Outcome.objects.shown(), pk=pk, workshop=request.membership.workshop)
    sharing.take_back(outcome=shown, by=request.membership, at=timezone.now())
    return redirect("outcomes")
