"""The own workshop: its people and their proofs; which workshop one acts for."""

from __future__ import annotations

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from network.access import MemberRequest, SignedInRequest, member_required
from network.asked import key_of
from network.forms import OurWorkshopForm
from network.models import Membership, Qualification
from network.showing import proof_line

NAMED = Membership.State.NAMED  # whoever has not agreed yet shows us nothing of theirs


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def our_workshop(request: MemberRequest) -> HttpResponse:
    """People and proofs, for every member; what owners read of the workshop, for its managers to change."""
    membership: Membership = request.membership
    if request.method == "POST" and not membership.is_manager:
        raise PermissionDenied(_("Only managers change what owners read of the workshop."))
    form = OurWorkshopForm(request.POST if request.method == "POST" else None, instance=membership.workshop)
    if request.method == "POST" and form.is_valid():
        form.save()
        return redirect("our_workshop")
    people = [
        (one, [(p, proof_line(p)) for p in one.person.qualifications.all()] if one.state != NAMED else [])
        for one in membership.workshop.memberships.exclude(state=Membership.State.LEFT)
        .select_related("person")
        .prefetch_related("person__qualifications__holder")
    ]
    lines = [line for _one, papers in people for paper, line in papers if paper.state == Qualification.State.VERIFIED]
    context = {
        "valid": sum(line.state != "over" for line in lines),
        "soon": sum(line.state == "soon" for line in lines),
        "form": form if membership.is_manager else None,
        "people": people,
        "others": Membership.objects.able_to_act().filter(person=request.user).select_related("workshop"),
        "claimed": Qualification.State.CLAIMED,
    }
    return render(request, "network/our_workshop.html", context, status=422 if form.errors else 200)


@login_required
@require_POST
def act_for(request: SignedInRequest) -> HttpResponse:
    """Choose which of one's own workshops to act for."""
    own = Membership.objects.able_to_act().filter(person=request.user)
    chosen = get_object_or_404(own, pk=key_of(request.POST.get("membership")))
    request.session["acting_membership"] = chosen.pk
    return redirect("home")
