"""A workshop applies, its applicant sees how it stands, and those it named agree to belong."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from network import membership
from network.access import SignedInRequest
from network.forms import MOST_PEOPLE, People, PersonForm, WorkshopForm
from network.models import Application, Membership, User


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def apply(request: SignedInRequest) -> HttpResponse:
    """The form of application: the workshop, and each person with the paper they hold."""
    more = request.POST.get("act") == "more"
    typed = request.POST if request.method == "POST" and not more else None
    form = WorkshopForm(typed, initial=_typed_workshop(request.POST) if more else {"email": request.user.email})
    people = People(typed, prefix="people", initial=_typed_people(request.POST) if more else _applicant(request.user))
    people.extra = 1 if more else 0
    status = 200
    if typed is not None:
        if form.is_valid() & people.is_valid():
            try:
                membership.apply(workshop=form.save(commit=False), people=people.named, by=request.user)
            except membership.AlreadyApplied:
                messages.warning(request, _("Your application still waits for a decision; this one was not sent."))
            return redirect("application")
        status = 422
    return render(request, "network/apply.html", {"form": form, "people": people}, status=status)


def _applicant(person: User) -> list[dict[str, Any]]:
    """The first person of a fresh form is whoever fills it in."""
    return [{"name": person.name, "email": person.email, "role": Membership.Role.MANAGER}]


def _typed_workshop(typed: QueryDict) -> dict[str, Any]:
    return {name: typed.get(name, "") for name in WorkshopForm.base_fields}


def _typed_people(typed: QueryDict) -> list[dict[str, Any]]:
    """What stands in the rows so far, as it was typed, to be shown again with one row more."""
    count = typed.get("people-TOTAL_FORMS", "")
    rows = min(int(count), MOST_PEOPLE) if count.isdecimal() and len(count) < 4 else 1
    many = {"covers"}
    return [
        {
            name: typed.getlist(f"people-{n}-{name}") if name in many else typed.get(f"people-{n}-{name}", "")
            for name in PersonForm.base_fields
        }
        for n in range(rows)
    ]


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
