"""Enquiries: sent by an owner without an account, followed by a private link, answered, sent on or taken on."""

from __future__ import annotations

import datetime

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from jobs import enquiring, estimating, owner_link, passing_on
from jobs.enquiry_forms import EnquiryForm, ReplyForm
from jobs.models import Enquiry
from jobs.owner_words import standing
from network.access import MemberRequest, member_required
from network.asked import key_of
from network.models import Workshop
from network.pictures import served


@require_http_methods(["GET", "HEAD", "POST"])
def enquire(request: HttpRequest, pk: int) -> HttpResponse:
    """An owner asks an approved workshop; the answer to it is a page at a private link."""
    workshop = get_object_or_404(Workshop.objects.public(), pk=pk)
    first = {"work_wanted": request.GET.get("work", "")}
    sent = request.method == "POST"
    form = EnquiryForm(request.POST if sent else None, request.FILES if sent else None, initial=first)
    if sent and form.is_valid():
        try:
            enquiry = enquiring.send(
                enquiry=form.save(commit=False),
                workshop=workshop,
                from_address=_address(request),
                pictures=form.cleaned_data["pictures"],
            )
        except enquiring.TooMany:
            form.add_error(
                None, _("Many enquiries came from your connection today. Please phone the workshop instead.")
            )
            return render(request, "jobs/enquire.html", {"form": form, "workshop": workshop}, status=429)
        return redirect(owner_link.path_for(enquiry))
    return render(
        request, "jobs/enquire.html", {"form": form, "workshop": workshop}, status=422 if form.errors else 200
    )


@require_http_methods(["GET", "HEAD", "POST"])
def enquiry_private(request: HttpRequest, token: str) -> HttpResponse:
    """The owner's page: how it stands in plain words; choose a date, have it sent on or stay, withdraw it."""
    with owner_link.followed(token) as enquiry:
        if request.method == "POST":
            return redirect(_decided(request, enquiry) or request.path)
        job = getattr(enquiry, "job", None)
        waits = estimating.standing(job).waits if job else None
        context = {
            "enquiry": enquiry,
            "workshop": enquiry.workshop,
            "job": job,
            "job_path": owner_link.path_for_job(job) if job else "",
            "standing": standing(enquiry, job),
            "waits": owner_link.path_for_job(waits.job, "car_estimate", number=waits.number) if waits else "",
            "pictures": enquiry.pictures.all(),
            "token": token,
        }
        return render(request, "jobs/enquiry_private.html", context)


def _decided(request: HttpRequest, enquiry: Enquiry) -> str:
    """Do what the owner decided; the path of another page to go to, if the enquiry has moved."""
    late = _("It can't be done here any more. Please phone the workshop.")
    match request.POST.get("act"):
        case "choose":
            if not enquiry.choose(moment=_moment(request.POST.get("moment", ""))):
                messages.warning(request, _("That date is no longer offered. Choose one that stands here."))
        case "agree":
            to = Workshop.objects.filter(pk=key_of(request.POST.get("to"))).first()
            try:
                if to:
                    return owner_link.path_for(passing_on.agree(enquiry=enquiry, to=to))
            except passing_on.Closed:
                messages.warning(request, late)
        case "stay":
            passing_on.decline(enquiry=enquiry)
        case "withdraw":
            if not enquiry.withdraw():
                messages.warning(request, late)
    return ""


def _moment(text: str) -> datetime.datetime:
    """The moment in a text, or one that nobody offered."""
    try:
        return datetime.datetime.fromisoformat(text)
    except ValueError:
        return datetime.datetime.min


@require_safe
def enquiry_picture(request: HttpRequest, token: str, pk: int) -> HttpResponse:
    """A photo that the owner sent, by the same private link."""
    with owner_link.followed(token) as enquiry:
        return served(get_object_or_404(enquiry.pictures.all(), pk=pk))


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def enquiry(request: MemberRequest, pk: int) -> HttpResponse:
    """The workshop reads an enquiry and answers it."""
    shown = get_object_or_404(Enquiry.objects.select_related("workshop", "better"), pk=pk)
    form = ReplyForm(request.POST if request.method == "POST" else None, initial=ReplyForm.first_values(shown))
    status = 422 if form.errors else 200
    if request.method == "POST" and form.is_valid():
        if shown.reply(by=request.membership, answer=form.cleaned_data["answer"], dates=form.dates):
            messages.success(request, _("The owner is told by e-mail."))
            return redirect("enquiry", pk=pk)
        shown.refresh_from_db()
        form.add_error(None, _("This enquiry is closed: %(state)s.") % {"state": shown.get_state_display()})
        status = 409
    better = passing_on.better_qualified(shown) if shown.is_open else []
    context = {"enquiry": shown, "form": form, "better": better, "pictures": shown.pictures.all()}
    return render(request, "jobs/enquiry.html", context, status=status)


@member_required
@require_POST
def enquiry_pass_on(request: MemberRequest, pk: int) -> HttpResponse:
    """Ask the owner whether the enquiry may go to a better qualified member; nothing moves before they agree."""
    shown = get_object_or_404(Enquiry.objects.select_related("workshop"), pk=pk)
    wanted = key_of(request.POST.get("to"))
    to = next((found.workshop for found in passing_on.better_qualified(shown) if found.workshop.pk == wanted), None)
    if to is None:
        messages.warning(request, _("Choose a workshop from the list."))
        return redirect("enquiry", pk=pk)
    try:
        passing_on.propose(enquiry=shown, to=to, by=request.membership)
        messages.success(request, _("The owner is asked by e-mail. Nothing moves before they agree."))
    except passing_on.Closed:
        messages.warning(request, _("This enquiry is closed; it can't be sent on."))
    return redirect("enquiry", pk=pk)


def _address(request: HttpRequest) -> str:
    return request.META.get("REMOTE_ADDR", "")
