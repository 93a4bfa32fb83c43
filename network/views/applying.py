"""A workshop applies, its applicant sees how it stands, and those it named agree to belong."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from network import membership
from network.access import SignedInRequest
from network.forms import People, WorkshopForm
from network.models import Application, Membership


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def apply(request: SignedInRequest) -> HttpResponse:
    """The form of application: the workshop, and each person with the paper they hold."""
    data: QueryDict | None = request.POST if request.method == "POST" else None
    if data is not None and data.get("act") == "more":
        longer = data.copy()
        longer["people-TOTAL_FORMS"] = str(min(_count(data.get("people-TOTAL_FORMS")) + 1, 20))
        data = longer
    first_person = [{"name": request.user.name, "email": request.user.email}]
    form = WorkshopForm(data, initial={"email": request.user.email})
    people = People(data, prefix="people", initial=None if data else first_person)
    status = 200
    if data is not None and data.get("act") != "more":
        if form.is_valid() & people.is_valid():
            try:
                membership.apply(workshop=form.save(commit=False), people=people.forms, by=request.user)
            except membership.AlreadyApplied:
                messages.warning(request, _("Your application still waits for a decision; this one was not sent."))
            return redirect("application")
        status = 422
    return render(request, "network/apply.html", {"form": form, "people": people}, status=status)


def _count(text: str | None) -> int:
    return int(text) if text and text.isdecimal() and len(text) < 4 else 1


@login_required
@require_safe
def application(request: SignedInRequest) -> HttpResponse:
    """How one's own application stands, and workshops that named one."""
    person = request.user
    context = {
        "applications": Application.objects.filter(applicant=person).select_related("workshop").order_by("-sent_at"),
        "named": Membership.objects.filter(person=person, state=Membership.State.NAMED).select_related("workshop"),
    }
    return render(request, "network/application.html", context)


@login_required
@require_POST
def membership_agree(request: SignedInRequest, pk: int) -> HttpResponse:
    """A named person agrees to belong to the workshop."""
    named = get_object_or_404(Membership.objects.select_related("workshop"), pk=pk, person=request.user)
    if named.agree(by=request.user):
        messages.success(request, _("You belong to %(name)s now.") % {"name": named.workshop})
    return redirect("home")
