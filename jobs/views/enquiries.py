"""Enquiries: sent by an owner without an account, followed by a private link, answered or taken on by the workshop."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from jobs import enquiring, owner_link
from jobs.forms import EnquiryForm, ReplyForm
from jobs.models import Enquiry
from network.access import MemberRequest, member_required
from network.models import Workshop


@require_http_methods(["GET", "HEAD", "POST"])
def enquire(request: HttpRequest, pk: int) -> HttpResponse:
    """An owner asks an approved workshop; the answer to it is a page at a private link."""
    workshop = get_object_or_404(Workshop.objects.public(), pk=pk)
    first = {"work_wanted": request.GET.get("work", "")}
    form = EnquiryForm(request.POST if request.method == "POST" else None, initial=first)
    if request.method == "POST" and form.is_valid():
        try:
            enquiry = enquiring.send(enquiry=form.save(commit=False), workshop=workshop, from_address=_address(request))
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
    """The owner's page: how it stands in plain words; withdraw it while nothing has been made of it."""
    with owner_link.followed(token) as enquiry:
        if request.method == "POST":
            if not enquiry.withdraw():
                messages.warning(request, _("It can't be withdrawn here any more. Please phone the workshop."))
            return redirect("enquiry_private", token=token)
        job = getattr(enquiry, "job", None)
        context = {
            "enquiry": enquiry,
            "workshop": enquiry.workshop,
            "job": job,
            "job_path": owner_link.path_for_job(job) if job else "",
        }
        return render(request, "jobs/enquiry_private.html", context)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def enquiry(request: MemberRequest, pk: int) -> HttpResponse:
    """The workshop reads an enquiry and answers it."""
    shown = get_object_or_404(Enquiry, pk=pk)
    form = ReplyForm(request.POST if request.method == "POST" else None, initial={"answer": shown.answer})
    if request.method == "POST" and form.is_valid():
        if shown.reply(by=request.membership, answer=form.cleaned_data["answer"]):
            messages.success(request, _("The owner is told by e-mail."))
            return redirect("enquiry", pk=pk)
        shown.refresh_from_db()
        form.add_error(None, _("This enquiry is closed: %(state)s.") % {"state": shown.get_state_display()})
        return render(request, "jobs/enquiry.html", {"enquiry": shown, "form": form}, status=409)
    return render(request, "jobs/enquiry.html", {"enquiry": shown, "form": form}, status=422 if form.errors else 200)


def _address(request: HttpRequest) -> str:
    return request.META.get("REMOTE_ADDR", "")
