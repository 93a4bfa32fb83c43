"""Pages of one request: asked, shown with its answers, received, withdrawn."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from network.access import MemberRequest, member_required
from network.models import Membership, Region
from parts import evidence, lapsing, sourcing
from parts.carriage import Carriage
from parts.comparing import compared
from parts.forms import RequestForm
from parts.knowing import carriage_for, known_as, revisions_of
from parts.models import Answer, DepositSettled, PartRequest, Question, Shipment
from parts.question_forms import QuestionForm
from parts.shipping_forms import CoreForm, DepositForm, ReceiptForm, SentForm
from parts.way import core_deadline, way


def visible(membership: Membership) -> QuerySet[PartRequest]:
    rows = PartRequest.objects.visible_to(membership)
    return rows.select_related("asked_by_workshop", "family", "asked_by", "revision_seen").prefetch_related(
        "regions", "pictures"
    )


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def request_new(request: MemberRequest) -> HttpResponse:
    """Ask the network for a part, without a job."""
    membership = request.membership
    first = {name: request.GET[name][:120] for name in ("number", "description") if name in request.GET}
    posted = (request.POST, request.FILES) if request.method == "POST" else (None, None)
    form = RequestForm(*posted, membership=membership, initial=first)
    if request.method == "POST" and form.is_valid():
        given = {"regions": list(form.cleaned_data["regions"]), "pictures": form.cleaned_data["pictures"]}
        asked = sourcing.ask(request=form.save(commit=False), by=membership, **given)
        return redirect("request", pk=asked.pk)
    return render(request, "parts/request_new.html", {"form": form}, status=422 if form.errors else 200)


@member_required
@require_safe
def request_page(request: MemberRequest, pk: int) -> HttpResponse:
    """One request with its answers side by side, for whoever asked; with the own answer, for whoever answers."""
    return show_request(request, get_object_or_404(visible(request.membership), pk=pk))


def show_request(request: MemberRequest, shown: PartRequest, status: int = 200, **more: object) -> HttpResponse:
    """The page as it stands; `more` replaces what the page begins with (a form with its errors, who was first)."""
    membership = request.membership
    own = shown.asked_by_workshop_id == membership.workshop_id
    table = compared(_answers(shown, membership), shown.asked_by_workshop, timezone.localdate())
    for one in table.answers:
        one.lacking = evidence.lacking(one, shown.part_kind)  # type: ignore[attr-defined]
        one.shown = evidence.shown(one)  # type: ignore[attr-defined]
    known = known_of(shown)
    accepted = next((one for one in table.answers if one.state == Answer.State.ACCEPTED), None)
    ours = None if own or not table.answers else table.answers[0]
    context: dict[str, object] = {
        "asked": shown,
        "own": own,
        "compared": table,
        "accepted": accepted,
        "our_answer": ours,
        "everywhere": len(shown.regions.all()) == Region.objects.count(),
        "asked_workshops": sourcing.workshops_asked(shown) if own and not table.answers else None,
        **known,
        "may_answer": not own and shown.state == PartRequest.State.OPEN and not table.answers,
        "carriage_step": "",
        "questions": _questions(shown),
        "question_form": QuestionForm(),
        "may_ask": shown.state not in (PartRequest.State.WITHDRAWN, PartRequest.State.LAPSED),
    }
    if accepted is not None:
        context |= travelling(shown, accepted, own=own, carriage=known["carriage"])
    return render(request, "parts/request.html", context | more, status=status)


def known_of(asked: PartRequest) -> dict[str, Any]:
    """What members know of the number, and what carriage asks of the part in the car at hand."""
    listed = known_as(asked.number)
    first = listed[0].number if listed else None
    return {"known_numbers": listed, "carriage": carriage_for(asked, first)}


def _answers(shown: PartRequest, membership: Membership) -> QuerySet[Answer]:
    rows = Answer.objects.visible_to(membership).standing().filter(request=shown).order_by("pk")
    return rows.select_related("workshop", "accepted_by", "plate", "sheet").prefetch_related("pictures")


def _questions(shown: PartRequest) -> list[Question]:
    """Questions in the order they were asked, each with its `answered`: the replies to it."""
    said = list(shown.questions.select_related("workshop", "asked_by"))
    for question in said:
        question.answered = [one for one in said if one.replies_to_id == question.pk]  # type: ignore[attr-defined]
    return [question for question in said if question.replies_to_id is None]


def travelling(shown: PartRequest, accepted: Answer, *, own: bool, carriage: Carriage | None) -> dict[str, object]:
    """The part's way, the forms of the steps that wait for this side, and which of them carriage has a word on."""
    shipments = {one.way: one for one in accepted.shipments.all()}
    settled = DepositSettled.objects.filter(answer=accepted).first()
    part, core = shipments.get(Shipment.Way.PART), shipments.get(Shipment.Way.CORE)
    received = shown.state == PartRequest.State.RECEIVED
    expected, has_core = shown.state == PartRequest.State.ACCEPTED, accepted.core_deposit is not None
    due = {
        "receipt_form": ReceiptForm(revisions=revisions_of(shown.number)) if own and expected else None,
        "sent_form": SentForm(carriage=carriage) if not own and not part and not received else None,
        "core_sent_form": SentForm(carriage=carriage) if own and received and has_core and not core else None,
        "core_form": CoreForm() if not own and core and not core.arrived_on else None,
        "deposit_form": DepositForm(answer=accepted) if not own and core and core.arrived_on and not settled else None,
    }
    steps = {"sent_form": "send", "core_sent_form": "core", "receipt_form": "receive", "core_form": "receive"}
    step = next((said for name, said in steps.items() if due[name]), "")
    return {
        **due, "carriage_step": step, "way": way(shown, accepted, shipments, settled), "part_shipment": part,
        "core_until": core_deadline(shown, accepted),
    }  # fmt: skip


@member_required
@require_POST
def request_receive(request: MemberRequest, pk: int) -> HttpResponse:
    """Write down what arrived: its number and its revision marks, as ordered or not."""
    membership = request.membership
    mine = PartRequest.objects.mine(membership).select_related("asked_by_workshop", "family", "asked_by")
    asked = get_object_or_404(mine, pk=pk)
    form = ReceiptForm(request.POST, request.FILES, revisions=revisions_of(asked.number))
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


@member_required
@require_POST
def request_prolong(request: MemberRequest, pk: int) -> HttpResponse:
    """Look for the part for another month."""
    asked = get_object_or_404(PartRequest.objects.mine(request.membership), pk=pk)
    if lapsing.prolong(request=asked, by=request.membership):
        messages.success(request, _("Prolonged by 30 days from today."))
    else:
        messages.warning(request, _("This request is no longer open; ask anew if you still look for the part."))
    return redirect("request", pk=pk)
