"""System families and their limits: entered by members, confirmed by a second workshop."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count, Q
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from diagnostics import families as entering
from diagnostics.forms import ExpectedForm, FamilyForm, LimitForm
from diagnostics.models import ExpectedReading, FamilyLimit, SystemFamily
from network.access import MemberRequest, member_required
from network.asked import words_to_find


@member_required
@require_safe
def families(request: MemberRequest) -> HttpResponse:
    """All families, searched by maker or name."""
    wanted = words_to_find(request, longest=80)
    standing = Count("limits", filter=Q(limits__taken_back_at__isnull=True))
    rows = entering.found(wanted).annotate(limit_count=standing)
    page = Paginator(rows, 25).get_page(request.GET.get("page"))
    return render(request, "diagnostics/families.html", {"page": page, "wanted": wanted})


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def family_new(request: MemberRequest) -> HttpResponse:
    form = FamilyForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        made = entering.enter_family(form.instance, by=request.membership)
        return redirect("family", pk=made.pk)
    return render(request, "diagnostics/family_new.html", {"form": form}, status=422 if form.errors else 200)


@member_required
@require_safe
def family(request: MemberRequest, pk: int) -> HttpResponse:
    """One family with its limits: which are confirmed, and which bind their own workshop only."""
    shown = get_object_or_404(SystemFamily, pk=pk)
    context = {
        "family": shown,
        "limits": shown.limits.standing().select_related("entered_by", "confirmed_by"),
        "expected": shown.expected.standing().select_related("entered_by", "confirmed_by"),
        "history": entering.history(shown, shown_to=request.membership.workshop),
    }
    return render(request, "diagnostics/family.html", context)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def limit_new(request: MemberRequest, pk: int) -> HttpResponse:
    """Enter a limit with its source; it binds the own workshop, where stricter, until a second one confirms it."""
    shown = get_object_or_404(SystemFamily, pk=pk)
    form = LimitForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        entering.enter_limit(form.instance, family=shown, by=request.membership)
        return redirect("family", pk=shown.pk)
    return render(
        request, "diagnostics/limit_new.html", {"form": form, "family": shown}, status=422 if form.errors else 200
    )


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def expected_new(request: MemberRequest, pk: int) -> HttpResponse:
    """Enter what a sound car usually reads; shown to the own workshop until a second one confirms it."""
    shown = get_object_or_404(SystemFamily, pk=pk)
    form = ExpectedForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        entering.enter_fact(form.instance, family=shown, by=request.membership)
        return redirect("family", pk=shown.pk)
    return render(
        request, "diagnostics/expected_new.html", {"form": form, "family": shown}, status=422 if form.errors else 200
    )


@member_required
@require_POST
def limit_confirm(request: MemberRequest, pk: int) -> HttpResponse:
    """A second workshop confirms a limit from its own copy of the source."""
    return _confirm(request, get_object_or_404(FamilyLimit, pk=pk))


@member_required
@require_POST
def expected_confirm(request: MemberRequest, pk: int) -> HttpResponse:
    """The same for an expected reading: everybody is shown it then."""
    return _confirm(request, get_object_or_404(ExpectedReading, pk=pk))


@member_required
@require_POST
def limit_take_back(request: MemberRequest, pk: int) -> HttpResponse:
    """The workshop that entered a limit takes it back, as long as no second one has confirmed it."""
    own = FamilyLimit.objects.standing().filter(entered_by=request.membership.workshop)
    return _take_back(request, get_object_or_404(own, pk=pk))


@member_required
@require_POST
def expected_take_back(request: MemberRequest, pk: int) -> HttpResponse:
    """The same for an expected reading."""
    own = ExpectedReading.objects.standing().filter(entered_by=request.membership.workshop)
    return _take_back(request, get_object_or_404(own, pk=pk))


def _confirm(request: MemberRequest, fact: Any) -> HttpResponse:
    if not fact.confirm(by=request.membership):
        messages.warning(request, _("This is confirmed already, or your own workshop entered it."))
    return redirect("family", pk=fact.family_id)


def _take_back(request: MemberRequest, fact: Any) -> HttpResponse:
    if not entering.take_back(fact, by=request.membership):
        messages.warning(request, _("A second workshop has confirmed this: it holds for everybody and stays."))
    return redirect("family", pk=fact.family_id)
