"""Pages of one request: asked, shown with its answers, received, withdrawn."""

from __future__ import annotations

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from network.access import MemberRequest, member_required
from network.models import Membership, Region
from parts import sourcing
from parts.comparing import compared
from parts.forms import ReceiptForm, RequestForm
from parts.knowing import carriage_of, known_as, revisions_of
from parts.models import Answer, PartRequest


def visible(membership: Membership) -> QuerySet[PartRequest]:
    rows = PartRequest.objects.visible_to(membership)
    return rows.select_related("asked_by_workshop", "family", "asked_by", "revision_seen").prefetch_related("regions")


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def request_new(request: MemberRequest) -> HttpResponse:
    """Ask the network for a part, without a job."""
    membership = request.membership
    first = {name: request.GET[name][:120] for name in ("number", "description") if name in request.GET}
    form = RequestForm(request.POST if request.method == "POST" else None, membership=membership, initial=first)
    if request.method == "POST" and form.is_valid():
        regions = list(form.cleaned_data["regions"])
        asked = sourcing.ask(request=form.save(commit=False), regions=regions, by=membership)
        return redirect("request", pk=asked.pk)
    return render(request, "parts/request_new.html", {"form": form}, status=422 if form.errors else 200)


@member_required
@require_safe
def request_page(request: MemberRequest, pk: int) -> HttpResponse:
    """One request with its answers side by side, for whoever asked; with the own answer, for whoever answers."""
    return show_request(request, get_object_or_404(visible(request.membership), pk=pk))


def show_request(request: MemberRequest, shown: PartRequest, status: int = 200, **more: object) -> HttpResponse:
    membership = request.membership
    own = shown.asked_by_workshop_id == membership.workshop_id
    answers = Answer.objects.visible_to(membership).standing().filter(request=shown).order_by("pk")
    answers = answers.select_related("workshop", "accepted_by")
    table = compared(answers, shown.asked_by_workshop, timezone.localdate())
    listed = [*(one for one, _row in table.rows), *table.elsewhere]
    due = shown.state == PartRequest.State.ACCEPTED
    context = {
        "asked": shown,
        "own": own,
        "compared": table,
        "accepted": next((one for one in listed if one.state == Answer.State.ACCEPTED), None),
        "our_answer": None if own or not listed else listed[0],
        "everywhere": len(shown.regions.all()) == Region.objects.count(),
        "asked_workshops": sourcing.workshops_asked(shown) if own else None,
        "receipt_form": ReceiptForm(revisions=revisions_of(shown.number)) if own and due else None,
        **known_of(shown),
        "may_answer": not own and shown.state == PartRequest.State.OPEN and not listed,
    }
    return render(request, "parts/request.html", context | more, status=status)


def known_of(asked: PartRequest) -> dict[str, object]:
    """What members know of the number, and what carriage asks of the part in the car at hand."""
    listed = known_as(asked.number)
    first = listed[0].number if listed else None
    return {"known_numbers": listed, "carriage": carriage_of(first, asked.family) if first else None}


@member_required
@require_POST
def request_receive(request: MemberRequest, pk: int) -> HttpResponse:
    """Write down what arrived: its number and its revision marks, as ordered or not."""
    membership = request.membership
    mine = PartRequest.objects.mine(membership).select_related("asked_by_workshop", "family", "asked_by")
    asked = get_object_or_404(mine, pk=pk)
    form = ReceiptForm(request.POST, revisions=revisions_of(asked.number))
    if asked.state != PartRequest.State.ACCEPTED:
        return show_request(request, asked, status=409, settled=sourcing.AlreadySettled(asked))
    if not form.is_valid():
        return show_request(request, asked, status=422, receipt_form=form)
    try:
        sourcing.receive(request=asked, by=membership, **form.cleaned_data)
    except sourcing.AlreadySettled as settled:
        return show_request(request, settled.request, status=409, settled=settled)
    return redirect("request", pk=pk)


@member_required
@require_POST
def request_withdraw(request: MemberRequest, pk: int) -> HttpResponse:
    """Take an open request of one's own off the board."""
    membership = request.membership
    asked = get_object_or_404(PartRequest.objects.mine(membership), pk=pk)
    if not sourcing.withdraw(request=asked, by=membership):
        messages.warning(request, _("An answer was accepted already; it can’t be withdrawn here."))
    return redirect("request", pk=pk)
