"""Pages of the sourcing board."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count, Q, QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from network.access import MemberRequest, member_required
from network.models import Membership
from parts import sourcing
from parts.comparing import compared
from parts.forms import AnswerForm, ReceiptForm, RequestForm
from parts.models import Answer, PartRequest


def _visible(membership: Membership) -> QuerySet[PartRequest]:
    rows = PartRequest.objects.visible_to(membership)
    return rows.select_related("asked_by_workshop", "family", "asked_by").prefetch_related("regions")


@member_required
@require_safe
def board(request: MemberRequest) -> HttpResponse:
    """What is asked for in the member's region, and what the own workshop asked for."""
    membership = request.membership
    wanted = request.GET.get("q", "").replace("\0", "").strip()[:60]
    shown = request.GET.get("show", "open")
    rows = PartRequest.objects.visible_to(membership)
    waiting = rows.open().of_others(membership).exclude(answers__workshop=membership.workshop).count()
    rows = {"open": rows.open(), "mine": rows.mine(membership)}.get(shown, rows)
    rows = rows.about(wanted) if wanted else rows
    listed = rows.select_related("asked_by_workshop", "family").annotate(
        answer_count=Count("answers", distinct=True, filter=Q(asked_by_workshop=membership.workshop))
    )
    page = Paginator(listed.order_by("-asked_at", "-pk"), 25).get_page(request.GET.get("page"))
    return render(request, "parts/board.html", {"page": page, "wanted": wanted, "shown": shown, "waiting": waiting})


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
    membership = request.membership
    return _request_page(request, get_object_or_404(_visible(membership), pk=pk))


def _request_page(request: MemberRequest, shown: PartRequest, status: int = 200, **more: object) -> HttpResponse:
    membership = request.membership
    own = shown.asked_by_workshop_id == membership.workshop_id
    answers = Answer.objects.visible_to(membership).filter(request=shown).select_related("workshop", "answered_by")
    context = {
        "asked": shown,
        "own": own,
        "compared": compared(answers.by_cost(shown.asked_by_workshop.currency), shown.asked_by_workshop.currency),
        "asked_workshops": sourcing.workshops_asked(shown) if own else None,
        "receipt_form": ReceiptForm() if own and shown.state == PartRequest.State.ACCEPTED else None,
        "may_answer": not own and shown.state == PartRequest.State.OPEN and not answers,
    }
    return render(request, "parts/request.html", context | more, status=status)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def answer_new(request: MemberRequest, pk: int) -> HttpResponse:
    """Answer a request of another workshop, once."""
    membership = request.membership
    asked = get_object_or_404(_visible(membership), pk=pk)
    first = {"currency": membership.workshop.currency}
    form = AnswerForm(request.POST if request.method == "POST" else None, initial=first)
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
def answer_accept(request: MemberRequest, pk: int) -> HttpResponse:
    """Accept one answer; whoever comes second is told what was accepted first."""
    membership = request.membership
    chosen = get_object_or_404(
        Answer.objects.select_related("request__asked_by_workshop", "answered_by"),
        pk=pk,
        request__asked_by_workshop=membership.workshop,
    )
    try:
        sourcing.accept(answer=chosen, by=membership)
    except sourcing.AlreadySettled as settled:
        return _request_page(request, settled.request, status=409, settled=settled)
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
