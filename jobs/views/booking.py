"""Booking in: making the job, changing what was noted, and a car that stands in quarantine."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from jobs import bays, booking, working
from jobs.booking_forms import BookingForm, ChangeForm, EndForm, TemperatureForm, as_booked, from_enquiry, remarks_on
from jobs.models import Bay, Enquiry, Job
from network.access import MemberRequest, member_required
from network.asked import key_of
from network.models import Event


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def job_new(request: MemberRequest) -> HttpResponse:
    """Book a car in that came without an enquiry."""
    return _book_in(request, None)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def job_from_enquiry(request: MemberRequest, pk: int) -> HttpResponse:
    """Make a job of an enquiry, once."""
    return _book_in(request, get_object_or_404(Enquiry, pk=pk))


def _book_in(request: MemberRequest, enquiry: Enquiry | None) -> HttpResponse:
    sent = request.method == "POST"
    form = BookingForm(request.POST if sent else None, request.FILES if sent else None, initial=from_enquiry(enquiry))
    status = 422 if form.errors else 200
    if sent and form.is_valid():
        typed = form.cleaned_data
        try:
            job = working.book_in(
                by=request.membership,
                customer=form.customer(),
                vehicle=form.vehicle(),
                codes=typed["codes"],
                enquiry=enquiry,
                pictures=typed["pictures"],
                **form.noted,
            )
        except working.EnquiryClosed as closed:
            status = 409
            state = closed.enquiry.get_state_display()
            form.add_error(None, _("This enquiry is closed: %(state)s. No job was made.") % {"state": state})
        else:
            _remark(request, typed["vin"])
            if into := Bay.objects.filter(pk=key_of(request.GET.get("bay", ""))).first():
                bays.put_in(into, job, by=request.membership)  # its label led here
            return redirect("job_quarantine" if job.in_quarantine else "job", pk=job.pk)
    context = {"form": form, "enquiry": enquiry}
    return render(request, "jobs/job_new.html", context, status=status)


def _remark(request: MemberRequest, vin: str) -> None:
    for remark in remarks_on(vin):
        messages.warning(
            request,
            _("VIN: %(what)s Outside North America that is no duty; read it off the car again.")
            % {"what": remark.message},
        )


def _job(pk: int) -> Job:
    return get_object_or_404(Job.objects.select_related("vehicle__customer", "vehicle__family"), pk=pk)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def job_change(request: MemberRequest, pk: int) -> HttpResponse:
    """Change what was booked in. Two at once: the second sees both texts before anything is overwritten."""
    shown = _job(pk)
    if request.method != "POST":
        return render(request, "jobs/job_change.html", {"job": shown, "form": ChangeForm(initial=as_booked(shown))})
    form = ChangeForm(request.POST, request.FILES)
    if not form.is_valid():
        return render(request, "jobs/job_change.html", {"job": shown, "form": form}, status=422)
    try:
        booking.change(
            job=shown,
            seen=form.cleaned_data["seen"],
            by=request.membership,
            customer=form.of_customer,
            vehicle=form.of_vehicle,
            noted=form.noted,
            pictures=form.cleaned_data["pictures"],
        )
    except booking.Overtaken:
        return _both_texts(request, _job(pk), form)
    _remark(request, form.cleaned_data["vin"])
    return redirect("job", pk=pk)


def _both_texts(request: MemberRequest, job: Job, form: ChangeForm) -> HttpResponse:
    """What the other one kept beside what was typed here; sending it again, now knowingly, overwrites."""
    typed = request.POST.copy()
    typed["seen"] = str(job.version)
    again = ChangeForm(typed)
    theirs = as_booked(job)
    pairs = [
        (form.fields[name].label, _words(form, name, theirs[name]), _words(form, name, value))
        for name, value in form.cleaned_data.items()
        if name in theirs and name != "seen"
    ]
    differ = [{"label": label, "theirs": one, "yours": other} for label, one, other in pairs if one != other]
    last = Event.objects.filter(subject_type="jobs.job", subject_id=job.pk, verb="job_booking_changed").last()
    context = {"job": job, "form": again, "differ": differ, "last": last}
    return render(request, "jobs/job_change.html", context, status=409)


def _words(form: ChangeForm, name: str, value: Any) -> str:
    """A value as people read it: the labels of choices, yes and no."""
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    labels = (
        {str(key): str(label) for key, label in getattr(form.fields[name], "choices", ())} if name != "family" else {}
    )
    if isinstance(value, list):
        return ", ".join(labels.get(str(one), str(one)) for one in value)
    return labels.get(str(value), str(value if value is not None else ""))


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def job_quarantine(request: MemberRequest, pk: int) -> HttpResponse:
    """A car whose first look found something: kept outside, its temperature read again and again, until it may end."""
    shown = _job(pk)
    act = request.POST.get("act") if request.method == "POST" else None
    watched = TemperatureForm(request.POST if act == "watch" else None)
    ended = EndForm(request.POST if act == "end" else None)
    status = 422 if watched.errors or ended.errors else 200
    if watched.is_bound and watched.is_valid():
        booking.watch(job=shown, by=request.membership, **watched.cleaned_data)
        return redirect("job_quarantine", pk=pk)
    if ended.is_bound and ended.is_valid():
        try:
            booking.end_quarantine(job=shown, words=ended.cleaned_data["words"], by=request.membership)
        except working.CannotBeSigned as why:
            ended.add_error(None, str(why))
            status = 409
        else:
            return redirect("job", pk=pk)
    readings = list(shown.temperatures.select_related("taken_by"))
    context = {
        "job": shown, "watched": watched, "ended": ended, "readings": readings,
        "goes": booking.how_it_goes(readings), "towing": booking.towing_advice(shown.vehicle.driven_wheels),
    }  # fmt: skip
    return render(request, "jobs/job_quarantine.html", context, status=status)
