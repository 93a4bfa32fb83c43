"""Pages of part numbers: searched, entered, and all that is known of one."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from diagnostics.models import SystemFamily
from diagnostics.part_kinds import PartKind
from network.access import MemberRequest, member_required
from network.asked import key_of, words_to_find
from parts import correcting, entering
from parts.knowing import known
from parts.models import PartNumber, PartNumberQuerySet, PartRequest
from parts.number_forms import FamiliesForm, NumberForm
from parts.searching import How, search

NEWEST = 10


@member_required
@require_safe
def numbers(request: MemberRequest) -> HttpResponse:
    """Search by number, beginning, piece, or with one typo; the newest where nothing is asked."""
    wanted = words_to_find(request)
    kind, family = request.GET.get("kind", ""), key_of(request.GET.get("family", ""))
    families = list(SystemFamily.objects.all())
    rows = _chosen(PartNumber.objects.all(), kind, family)
    found = search(wanted, among=rows) if wanted else None
    newest = [] if wanted else list(rows.prefetch_related("families").order_by("-pk")[:NEWEST])
    groups = []
    if found:
        ways = [(how, [one for way, one in found.found if way is how]) for how in How]
        groups = [{"how": how.value, "numbers": listed, "more": how in found.more} for how, listed in ways if listed]
    context = {
        "wanted": wanted, "found": found, "groups": groups, "newest": newest, "kinds": PartKind.choices,
        "kind": kind, "families": families, "family": family,
    }  # fmt: skip
    return render(request, "parts/numbers.html", context)


def _chosen(rows: PartNumberQuerySet, kind: str, family: int) -> PartNumberQuerySet:
    """The rows that the two filters leave; a word or key that is none of theirs filters nothing."""
    if kind in PartKind:
        rows = rows.filter(kind=kind)
    if family > 0:
        rows = rows.filter(families=family)
    return rows


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def number_new(request: MemberRequest) -> HttpResponse:
    """Enter a number that the network doesn't know; one that it knows opens instead."""
    first = {"number": request.GET.get("number", "")[:40]}
    form = NumberForm(request.POST if request.method == "POST" else None, initial=first)
    if request.method == "POST" and form.is_valid():
        families = form.cleaned_data["families"]
        try:
            made = entering.enter_number(number=form.save(commit=False), families=families, by=request.membership)
        except entering.KnownAlready as already:
            messages.warning(request, _("The network knows this number: here is what is known. Nothing was changed."))
            return redirect("number", pk=already.known.pk)
        return redirect("number", pk=made.pk)
    return render(request, "parts/number_new.html", {"form": form}, status=422 if form.errors else 200)


@member_required
@require_safe
def number(request: MemberRequest, pk: int) -> HttpResponse:
    """One number: what replaces it, its revisions, what the trade says of it, what carriage asks."""
    return show_number(request, number_or_404(pk))


def number_or_404(pk: int) -> PartNumber:
    return get_object_or_404(
        PartNumber.objects.select_related("entered_by_workshop").prefetch_related("families"), pk=pk
    )


def show_number(request: MemberRequest, shown: PartNumber, status: int = 200, **more: object) -> HttpResponse:
    asked = PartRequest.objects.visible_to(request.membership).open().select_related("asked_by_workshop")
    context = {
        "known": known(shown),
        "number": shown,
        "asked": asked.filter(normalised=shown.normalised).order_by("-pk")[:5],
        "corrections": correcting.history(shown, shown_to=request.membership.workshop),
        "families_form": FamiliesForm(number=shown),
    }
    return render(request, "parts/number.html", context | more, status=status)


@member_required
@require_POST
def number_families(request: MemberRequest, pk: int) -> HttpResponse:
    """Tick further system families that it fits."""
    shown = number_or_404(pk)
    form = FamiliesForm(request.POST, number=shown)
    if not form.is_valid():
        return show_number(request, shown, status=422, families_form=form)
    entering.add_families(number=shown, families=list(form.cleaned_data["families"]), by=request.membership)
    return redirect("number", pk=pk)
