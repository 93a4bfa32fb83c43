"""Pages of what travels after an answer was accepted: each step is one form on the page of the request."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django import forms
from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from network.access import MemberRequest, member_required
from parts import sending
from parts.models import Answer
from parts.shipping_forms import CoreForm, DepositForm, SentForm
from parts.views.requests import known_of, show_request


def _step(
    request: MemberRequest, answer: Answer, name: str, form: forms.Form, verb: Callable[..., Any]
) -> HttpResponse:
    """One step of one's own: kept and told, or the page again with what is wrong, or 409 where it isn't due."""
    if not form.is_valid():
        return show_request(request, answer.request, status=422, **{name: form})
    try:
        verb(answer=answer, by=request.membership, **form.cleaned_data)
    except sending.NotDue:
        messages.warning(request, _("This step is not due, or was taken already. The page shows how it stands."))
        return show_request(request, answer.request, status=409)
    messages.success(request, _("Kept. The other side is told."))
    return redirect("request", pk=answer.request_id)


def _mine(request: MemberRequest, pk: int) -> Answer:
    """An answer that one of the two sides sees."""
    rows = Answer.objects.visible_to(request.membership).select_related(
        "request__asked_by_workshop", "request__family", "request__asked_by", "workshop"
    )
    return get_object_or_404(rows, pk=pk)


def _sent_form(request: MemberRequest, answer: Answer) -> SentForm:
    """It asks as what the part was carried, where carriage asks for a number."""
    return SentForm(request.POST, carriage=known_of(answer.request)["carriage"])


@member_required
@require_POST
def answer_send(request: MemberRequest, pk: int) -> HttpResponse:
    """The part was sent."""
    answer = _mine(request, pk)
    return _step(request, answer, "sent_form", _sent_form(request, answer), sending.send)


@member_required
@require_POST
def core_send(request: MemberRequest, pk: int) -> HttpResponse:
    """The old unit was sent back."""
    answer = _mine(request, pk)
    return _step(request, answer, "core_sent_form", _sent_form(request, answer), sending.send_core)


@member_required
@require_POST
def core_receive(request: MemberRequest, pk: int) -> HttpResponse:
    """The old unit has arrived: in what state."""
    return _step(request, _mine(request, pk), "core_form", CoreForm(request.POST), sending.look_at_core)


@member_required
@require_POST
def deposit_settle(request: MemberRequest, pk: int) -> HttpResponse:
    """How much of the deposit was given back."""
    answer = _mine(request, pk)
    if answer.core_deposit is None:
        raise Http404
    form = DepositForm(request.POST, answer=answer)
    return _step(request, answer, "deposit_form", form, sending.settle_deposit)
