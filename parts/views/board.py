"""The board: what is asked for in the member's region."""

from __future__ import annotations

from collections import Counter
from functools import cache

from django.core.paginator import Page, Paginator
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.views.decorators.http import require_safe

from diagnostics.models import SystemFamily
from diagnostics.part_kinds import PartKind
from network.access import MemberRequest, member_required
from network.asked import key_of, words_to_find
from network.models import Membership
from parts.models import NEWEST_FIRST, Answer, PartRequest, PartRequestQuerySet

# What a row of the list shows; a request and a workshop have many columns more.
SHOWN = (
    "number", "description", "quantity", "asked_at", "needed_by", "off_road", "state", "family__maker", "family__name",
    "asked_by_workshop__name", "asked_by_workshop__town",
)  # fmt: skip


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
    page = Paginator(rows.select_related("asked_by_workshop", "family").only(*SHOWN), 25)
    context = {
        "page": _as_shown(page.get_page(request.GET.get("page")), membership),
        "wanted": wanted,
        "waiting": visible.open().of_others(membership).unanswered_by(membership).count(),
        "states": PartRequest.State.choices,
        "kinds": PartKind.choices,
        "kind": kind,
        "family": family,
        "families": SystemFamily.objects.all(),
    }
    return render(request, "parts/board.html", context | chosen)


def _as_shown(page: Page, membership: Membership) -> Page:
    """The rows with the words that cost a look each time a template asks for them: read or translated once a page.

    Each of one's own is told how many answers it has: of those on the page alone, in one query.
    """
    page.object_list = list(page.object_list)
    own = [one.pk for one in page.object_list if one.asked_by_workshop_id == membership.workshop_id]
    answers = Answer.objects.filter(request__in=own).exclude(state=Answer.State.WITHDRAWN)
    counts = Counter(answers.values_list("request", flat=True)) if own else {}
    labels = {code: str(label) for code, label in PartRequest.State.choices}
    day = cache(lambda on: date_format(on, "D j M"))
    before, after = reverse("request", args=[0]).split("0")
    for one in page.object_list:
        one.answer_count, one.stands = counts.get(one.pk, 0), labels[one.state]
        one.asked_on, one.path = day(timezone.localdate(one.asked_at)), f"{before}{one.pk}{after}"
        one.needed_on = day(one.needed_by) if one.needed_by else ""
    return page


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
