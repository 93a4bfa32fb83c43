"""The board: what is asked for in the member's region."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from diagnostics.models import SystemFamily
from diagnostics.part_kinds import PartKind
from network.access import MemberRequest, member_required
from network.asked import key_of, words_to_find
from network.models import Membership
from parts.board_lines import columns_of, lines
from parts.models import NEWEST_FIRST, PartRequest, PartRequestQuerySet


@member_required
@require_safe
def board(request: MemberRequest) -> HttpResponse:
    """What is asked for in the member's region, and what the own workshop asked for."""
    membership = request.membership
    wanted = words_to_find(request)
    chosen = {"whose": request.GET.get("whose", ""), "state": request.GET.get("state", "open")}
    kind, family = request.GET.get("kind", ""), key_of(request.GET.get("family", ""))
    visible = PartRequest.objects.visible_to(membership)
    rows = _of_what(_chosen(visible, membership, **chosen), kind, family)
    rows = rows.about(wanted) if wanted else rows.order_by(*NEWEST_FIRST)
    page = Paginator(rows, 25).get_page(request.GET.get("page"))
    page.object_list = lines(columns_of(page.object_list), membership)  # type: ignore[arg-type, assignment]
    context = {
        "page": page,
        "wanted": wanted,
        "waiting": visible.open().of_others(membership).unanswered_by(membership).count(),
        "states": PartRequest.State.choices,
        "kinds": PartKind.choices,
        "kind": kind,
        "family": family,
        "families": SystemFamily.objects.only("maker", "name"),
    }
    return render(request, "parts/board.html", context | chosen)


def _of_what(rows: PartRequestQuerySet, kind: str, family: int) -> PartRequestQuerySet:
    """The rows for one kind of part and one system family; a word or key that is none of theirs filters nothing."""
    if kind in PartKind:
        rows = rows.filter(part_kind=kind)
    return rows.for_family(family) if family > 0 else rows


def _chosen(rows: PartRequestQuerySet, membership: Membership, *, whose: str, state: str) -> PartRequestQuerySet:
    """The rows that the two filters of the board leave; a word that is none of theirs filters nothing."""
    if whose == "ours":
        rows = rows.mine(membership)
    elif whose == "answered":
        rows = rows.answered_by(membership)
    elif whose == "unanswered":
        rows = rows.of_others(membership).unanswered_by(membership)
    return rows.filter(state=state) if state in PartRequest.State else rows
