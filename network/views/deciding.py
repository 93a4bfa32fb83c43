"""Administrators decide applications, each once, with a reason."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from network import papers
from network.access import SignedInRequest, administrator_required
from network.forms import DecisionForm
from network.models import Application
from network.models.applications import AlreadyDecided


@administrator_required
@require_safe
def applications(request: SignedInRequest) -> HttpResponse:
    """What is to be decided, oldest first; then what was decided."""
    rows = Application.objects.select_related("workshop", "applicant", "decided_by")
    waiting = rows.filter(state=Application.State.WAITING).order_by("sent_at")
    decided = rows.exclude(state=Application.State.WAITING).order_by("-decided_at")
    page = Paginator(decided, 25).get_page(request.GET.get("page"))
    return render(request, "network/applications.html", {"waiting": waiting, "papers": papers.waiting(), "page": page})


@administrator_required
@require_http_methods(["GET", "HEAD", "POST"])
def application_decide(request: SignedInRequest, pk: int) -> HttpResponse:
    """One application with its people and papers; approved or declined once."""
    rows = Application.objects.select_related("workshop__region", "applicant", "decided_by")
    asked = get_object_or_404(rows, pk=pk)
    claimed = [paper for _membership, held in asked.people for paper in held if paper.state == "claimed"]
    form = DecisionForm(request.POST if request.method == "POST" else None, papers=claimed)
    context = {"application": asked, "form": form}
    status = 422 if form.errors else 200
    if request.method == "POST" and asked.state != Application.State.WAITING:
        status = 409
    elif request.method == "POST" and form.is_valid():
        reason = form.cleaned_data["reason"]
        try:
            if form.cleaned_data["decision"] == "approve":
                asked.approve(by=request.user, reason=reason, seen=form.seen())
            else:
                asked.decline(by=request.user, reason=reason)
        except AlreadyDecided as first:
            status = 409
            context["application"] = rows.get(pk=first.application.pk)
        else:
            messages.success(request, _("Decided; the applicant is told."))
            return redirect("applications")
    return render(request, "network/application_decide.html", context, status=status)
