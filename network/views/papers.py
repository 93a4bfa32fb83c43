"""Papers after the application: a manager enters one, an administrator says whether it was verified."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from network import papers
from network.access import MemberRequest, SignedInRequest, administrator_required, manager_required
from network.asked import key_of
from network.forms import PaperDecisionForm, PersonForm
from network.models import Qualification


@manager_required
@require_http_methods(["GET", "HEAD", "POST"])
def paper_new(request: MemberRequest) -> HttpResponse:
    """A new paper of one of the workshop's people, or of somebody who is named with it."""
    seats = request.membership.workshop.memberships.active().select_related("person")
    seat = seats.filter(pk=key_of(request.GET.get("member"))).first()
    first = {"name": seat.person.name, "email": seat.person.email, "role": seat.role} if seat else {}
    form = PersonForm(request.POST if request.method == "POST" else None, initial=first)
    if request.method == "POST" and form.is_valid():
        papers.enter(form=form, by=request.membership)
        messages.success(request, _("Kept. The network’s administrators are told; it counts once they verified it."))
        return redirect("our_workshop")
    return render(request, "network/paper_new.html", {"form": form}, status=422 if form.errors else 200)


@administrator_required
@require_http_methods(["GET", "HEAD", "POST"])
def paper_decide(request: SignedInRequest, pk: int) -> HttpResponse:
    """One paper: verified or refused once."""
    paper = get_object_or_404(Qualification.objects.select_related("holder", "verified_by"), pk=pk)
    form = PaperDecisionForm(request.POST if request.method == "POST" else None)
    status = 422 if form.errors else 200
    if request.method == "POST" and form.is_valid():
        if papers.decide(paper=paper, by=request.user, **form.decided()):
            messages.success(request, _("Decided; its holder and their workshop are told."))
            return redirect("applications")
        paper.refresh_from_db()
        status = 409
    seats = paper.holder.memberships.select_related("workshop")
    context = {"paper": paper, "form": form, "seats": seats}
    return render(request, "network/paper_decide.html", context, status=status)
