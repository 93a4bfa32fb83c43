"""Pages of one answer: given, taken back, accepted."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from network.access import MemberRequest, member_required
from parts import sourcing
from parts.answer_forms import AnswerForm
from parts.models import Answer, PartRequest
from parts.views.requests import known_of, show_request, visible


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def answer_new(request: MemberRequest, pk: int) -> HttpResponse:
    """Answer a request of another workshop, once."""
    membership = request.membership
    asked = get_object_or_404(visible(membership), pk=pk)
    first = {"currency": membership.workshop.currency}
    posted = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    form = AnswerForm(*posted, initial=first, by=membership, quantity=asked.quantity)
    status = 422 if form.errors else 200
    if request.method == "POST" and form.is_valid():
        try:
            shown = {name: form.cleaned_data[name] for name in ("pictures", "plate")}
            sourcing.answer(answer=form.save(commit=False), request=asked, by=membership, **shown)
        except sourcing.CannotAnswer:
            status = 409
            form.add_error(None, _("This request is settled, is your own, or has your workshop’s answer already."))
        else:
            messages.success(request, _("Whoever asked is told."))
            return redirect("request", pk=pk)
    context = {"form": form, "asked": asked, **known_of(asked)}
    return render(request, "parts/answer_new.html", context, status=status)


@member_required
@require_POST
def answer_withdraw(request: MemberRequest, pk: int) -> HttpResponse:
    """Take the own workshop's offer back, as long as it is not decided."""
    offer = get_object_or_404(Answer.objects.of_workshop(request.membership), pk=pk)
    if sourcing.take_back(answer=offer, by=request.membership):
        messages.success(request, _("Your answer was taken back; whoever asked is told."))
    else:
        messages.warning(request, _("This answer was decided already; it can’t be taken back here."))
    asked = PartRequest.objects.visible_to(request.membership).filter(pk=offer.request_id)
    return redirect("request", pk=offer.request_id) if asked.exists() else redirect("board")


@member_required
@require_POST
def answer_accept(request: MemberRequest, pk: int) -> HttpResponse:
    """Accept one answer; whoever comes second is told what was accepted first, and by whom."""
    membership = request.membership
    chosen = get_object_or_404(
        Answer.objects.select_related("request__asked_by_workshop", "workshop"),
        pk=pk,
        request__asked_by_workshop=membership.workshop,
    )
    try:
        sourcing.accept(answer=chosen, by=membership)
    except sourcing.AlreadySettled as settled:
        return show_request(request, settled.request, status=409, settled=settled)
    except sourcing.NotOnOffer:
        messages.warning(request, _("This offer is gone: it was taken back, or names no price. Choose another one."))
        return show_request(request, chosen.request, status=409)
    messages.success(request, _("Accepted. %(who)s is told.") % {"who": chosen.workshop})
    return redirect("request", pk=chosen.request_id)
