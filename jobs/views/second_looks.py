"""A second pair of eyes: asked for after a preview of exactly what the colleague will see, read, and signed."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from jobs import second_looks
from jobs.models import Job, JobLook, SecondLook
from jobs.second_look_forms import AskForm, RemarkForm
from jobs.sharing import TellsTooMuch
from network.access import MemberRequest, member_required


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def second_look_new(request: MemberRequest, pk: int) -> HttpResponse:
    """Whom to ask, what, until when; then the preview; only then it goes out."""
    job = get_object_or_404(Job.objects.with_facts(), pk=pk)
    form = AskForm(request.POST if request.method == "POST" else None, job=job, membership=request.membership)
    context = {"job": job, "form": form, "copy": second_looks.frozen_copy(job)}
    status = 422 if form.errors else 200
    if request.method == "POST" and form.is_valid():
        if request.POST.get("act") != "ask":
            return render(request, "jobs/second_look_new.html", context | {"preview": True})
        try:
            asked = second_looks.ask(job=job, by=request.membership, **form.cleaned_data)
        except (second_looks.CannotBeAsked, TellsTooMuch) as why:
            form.add_error(None, str(why))
            status = 422
        else:
            return redirect("second_look", pk=asked.pk)
    return render(request, "jobs/second_look_new.html", context, status=status)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def second_look(request: MemberRequest, pk: int) -> HttpResponse:
    """The copy, for whoever asked and for the named colleague; for the colleague until it lapses."""
    rows = SecondLook.objects.visible_to(request.membership).select_related(
        "asked_by", "asked_by_workshop", "colleague__person", "colleague__workshop"
    )
    look = get_object_or_404(rows, pk=pk)
    mine = look.colleague_id == request.membership.pk
    form = RemarkForm(request.POST if request.method == "POST" else None)
    context = {"look": look, "copy": look.copy, "mine": mine, "form": form, "holds": second_looks.holds(look)}
    if mine and look.lapsed:
        return render(request, "jobs/second_look_lapsed.html", context, status=410)
    if not mine:
        link = JobLook.objects.filter(look=look).select_related("job").first()
        context["job"] = link.job if link else None
    status = 422 if form.errors else 200
    if request.method == "POST" and form.is_valid():
        try:
            second_looks.sign(look=look, by=request.membership, **form.cleaned_data)
        except second_looks.CannotBeSigned as why:
            form.add_error(None, str(why))
            status = 409
        except TellsTooMuch as private:
            form.add_error("words", str(private))
            status = 422
        else:
            messages.success(request, _("Signed. Whoever asked is told."))
            return redirect("second_look", pk=pk)
    return render(request, "jobs/second_look.html", context, status=status)
