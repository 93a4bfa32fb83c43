"""Pages of the sourcing board."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count, Q, QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from network.access import MemberRequest, member_required
from network.asked import words_to_find
from network.models import Membership, Region
from parts import sourcing
from parts.comparing import compared
from parts.forms import AnswerForm, ReceiptForm, RequestForm
from parts.models import NEWEST_FIRST, Answer, PartRequest, PartRequestQuerySet


def _visible(membership: Membership) -> QuerySet[PartRequest]:
    rows = PartRequest.objects.visible_to(membership)
    return rows.select_related("asked_by_workshop", "family", "asked_by").prefetch_related("regions")


@member_required
@require_safe
def board(request: MemberRequest) -> HttpResponse:
    """What is asked for in the member's region, and what the own workshop asked for."""
    membership = request.membership
    wanted = words_to_find(request)
    chosen = {"whose": request.GET.get("whose", ""), "state": request.GET.get("state", "open")}
    visible = PartRequest.objects.visible_to(membership)
    rows = _chosen(visible, membership, **chosen)
    rows = rows.about(wanted) if wanted else rows.order_by(*NEWEST_FIRST)
    listed = rows.select_related("asked_by_workshop", "family").annotate(
        answer_count=Count(
            "answers",
            filter=Q(asked_by_workshop=membership.workshop) & ~Q(answers__state=Answer.State.WITHDRAWN),
        )
    )
    context = {
        "page": Paginator(listed, 25).get_page(request.GET.get("page")),
        "wanted": wanted,
        "waiting": visible.open().of_others(membership).unanswered_by(membership).count(),
        "states": PartRequest.State.choices,
    }
    return render(request, "parts/board.html", context | chosen)


def _chosen(rows: PartRequestQuerySet, membership: Membership, *, whose: str, state: str) -> PartRequestQuerySet:
    """The rows that the two filters of the board leave; a word that is none of theirs filters nothing."""
    if whose == "ours":
        rows = rows.mine(membership)
    elif whose == "answered":
        rows = rows.answered_by(membership)
    elif whose == "unanswered":
        rows = rows.of_others(membership).unanswered_by(membership)
    return rows.filter(state=state) if state in PartRequest.State else rows


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
    return _request_page(request, get_object_or_404(_visible(request.membership), pk=pk))


def _request_page(request: MemberRequest, shown: PartRequest, status: int = 200, **more: object) -> HttpResponse:
    membership = request.membership
    own = shown.asked_by_workshop_id == membership.workshop_id
    currency = shown.asked_by_workshop.currency
    answers = Answer.objects.visible_to(membership).standing().filter(request=shown).by_cost(currency)
    table = compared(answers.select_related("workshop", "accepted_by"), currency, timezone.localdate())
    listed = [*(one for one, _row in table.rows), *table.elsewhere]
    context = {
        "asked": shown,
        "own": own,
        "compared": table,
        "accepted": next((one for one in listed if one.state == Answer.State.ACCEPTED), None),
        "our_answer": None if own or not listed else listed[0],
        "everywhere": len(shown.regions.all()) == Region.objects.count(),
        "asked_workshops": sourcing.workshops_asked(shown) if own else None,
        "receipt_form": ReceiptForm() if own and shown.state == PartRequest.State.ACCEPTED else None,
        "may_answer": not own and shown.state == PartRequest.State.OPEN and not listed,
    }
    return render(request, "parts/request.html", context | more, status=status)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def answer_new(request: MemberRequest, pk: int) -> HttpResponse:
    """Answer a request of another workshop, once."""
    membership = request.membership
    asked = get_object_or_404(_visible(membership), pk=pk)
    first = {"currency": membership.workshop.currency}
    form = AnswerForm(request.POST if request.method == "POST" else None, initial=first, quantity=asked.quantity)
    status = 422 if form.errors else 200
    if request.method == "POST" and form.is_valid():
        try:
            sourcing.answer(answer=form.save(commit=False), request=asked, by=membership)
        except sourcing.CannotAnswer:
            status = 409
            form.add_error(None, _("This request is settled, is your own, or has your workshop’s answer already."))
        else:
            messages.success(request, _("Whoever asked is told."))
            return redirect("request", pk=pk)
    return render(request, "parts/answer_new.html", {"form": form, "asked": asked}, status=status)


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
        return _request_page(request, settled.request, status=409, settled=settled)
    except sourcing.NotOnOffer:
        messages.warning(request, _("This offer is gone: it was taken back. Choose another one."))
        return _request_page(request, chosen.request, status=409)
    messages.success(request, _("Accepted. %(who)s is told.") % {"who": chosen.workshop})
    return redirect("request", pk=chosen.request_id)


@member_required
@require_POST
def request_receive(request: MemberRequest, pk: int) -> HttpResponse:
    """Write down what arrived: its number and its revision marks, as ordered or not."""
    membership = request.membership
    mine = PartRequest.objects.mine(membership).select_related("asked_by_workshop", "family", "asked_by")
    asked = get_object_or_404(mine, pk=pk)
    form = ReceiptForm(request.POST)
    if asked.state != PartRequest.State.ACCEPTED:
        return _request_page(request, asked, status=409, settled=sourcing.AlreadySettled(asked))
    if not form.is_valid():
        return _request_page(request, asked, status=422, receipt_form=form)
    try:
        sourcing.receive(request=asked, by=membership, **form.cleaned_data)
    except sourcing.AlreadySettled as settled:
        return _request_page(request, settled.request, status=409, settled=settled)
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
