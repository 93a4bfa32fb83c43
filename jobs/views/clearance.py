"""The clearance of a job: every requirement with what meets it, waivers, what was done to the car since."""

from __future__ import annotations

from django import forms
from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from jobs import evidence, ring, working
from jobs.clearance import clearance as how_it_stands
from jobs.clearance import requirement_of
from jobs.finishing import listed
from jobs.models import Disturbance, Job
from jobs.sheet_page import segments_of, way_to
from network.access import MemberRequest, member_required


class WaiverForm(forms.Form):
    reason = forms.CharField(
        label=gettext_lazy("Why the work may go on without it"),
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=gettext_lazy("The reason and your name stand in the report."),
    )


@member_required
@require_safe
def clearance(request: MemberRequest, pk: int) -> HttpResponse:
    """Hold or clear, with every requirement and the way to meet it."""
    job = get_object_or_404(Job.objects.with_facts(), pk=pk)
    stands = how_it_stands(job)
    rows = [{"standing": one, "url": "" if one.met else way_to(job, one.requirement)} for one in stands.standings]
    context = {
        "job": job,
        "stands": stands,
        "rows": rows,
        "ring": ring.build(segments=segments_of(stands)),
        "disturbances": Disturbance.objects.filter(job=job).select_related("noted_by"),
        "what": Disturbance.What.choices,
        "parts": Job.Part.choices,
    }
    return render(request, "jobs/clearance.html", context)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def requirement_waive(request: MemberRequest, pk: int, code: str) -> HttpResponse:
    """Waive one requirement, with a reason and the name of whoever answers for it."""
    job = get_object_or_404(Job.objects.with_facts(), pk=pk)
    asked = requirement_of(job, code)
    if asked is None:
        raise Http404
    of_list = listed(job, code)
    back = reverse("job_list", args=[pk, of_list[0]]) if of_list else reverse("clearance", args=[pk])
    form = WaiverForm(request.POST if request.method == "POST" else None)
    status = 422 if form.errors else 200
    if request.method == "POST" and form.is_valid():
        try:
            evidence.waive(job=job, requirement=code, reason=form.cleaned_data["reason"], by=request.membership)
        except evidence.CannotBeWaived as why:
            form.add_error(None, str(why))
            status = 409
        else:
            return redirect(back)
    context = {"job": job, "asked": asked, "form": form, "back": back}
    return render(request, "jobs/waive.html", context, status=status)


@member_required
@require_POST
def job_disturb(request: MemberRequest, pk: int) -> HttpResponse:
    """Note what was done to the car."""
    job = get_object_or_404(Job.objects.with_facts(), pk=pk)
    what = request.POST.get("what", "")
    if what not in Disturbance.What.values:
        messages.warning(request, _("Choose what was done from the list."))
    elif job.handed_over_at:
        messages.warning(request, _("This job was handed over; nothing more is noted on it."))
    else:
        evidence.disturb(job=job, what=what, by=request.membership)
        messages.success(request, _("Noted. Older evidence that this ends counts no more."))
    return redirect("clearance", pk=pk)


@member_required
@require_POST
def job_kind(request: MemberRequest, pk: int) -> HttpResponse:
    """Say what is to be fitted: the requirements follow."""
    job = get_object_or_404(Job.objects.with_facts(), pk=pk)
    part = request.POST.get("part", "")
    if part not in Job.Part.values:
        messages.warning(request, _("Choose the part from the list."))
    elif not working.choose_part(job=job, part=part, by=request.membership):
        messages.warning(request, _("A part was fitted on this job already; book another job for another part."))
    return redirect("clearance", pk=pk)
