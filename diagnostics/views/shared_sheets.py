"""Sheets shown to every member: a preview of exactly what will be seen, the frozen copy, and taking it back."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from diagnostics import shared_copies, sharing_sheets
from diagnostics.chain import hash_of_body
from diagnostics.forms import ShareSheetForm
from diagnostics.models import SharedSheet, Sheet
from diagnostics.shown_copy import shown_copy
from network.access import MemberRequest, member_required


@member_required
@require_safe
def shared_sheets(request: MemberRequest) -> HttpResponse:
    """The copies that the own workshop shows, newest first."""
    rows = SharedSheet.objects.shown().of_workshop(request.membership.workshop).select_related("family")
    page = Paginator(rows, 25).get_page(request.GET.get("page"))
    return render(request, "diagnostics/shared_sheets.html", {"page": page})


@member_required
@require_safe
def shared_sheet(request: MemberRequest, pk: int) -> HttpResponse:
    """One frozen copy, for every member."""
    copy = get_object_or_404(SharedSheet.objects.shown().select_related("family", "shared_by_workshop"), pk=pk)
    context = {
        "copy": copy,
        "shown": shown_copy(copy.body),
        "own": copy.shared_by_workshop_id == request.membership.workshop_id,
    }
    return render(request, "diagnostics/shared_sheet.html", context)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def sheet_share(request: MemberRequest, pk: int) -> HttpResponse:
    """Choose what to call it, see exactly what every member would see, and only then share it."""
    sheet = get_object_or_404(Sheet.objects.select_related("family"), pk=pk)
    form = ShareSheetForm(request.POST if request.method == "POST" else None, sheet=sheet)
    context: dict[str, Any] = {"sheet": sheet, "form": form}
    if request.method != "POST":
        return render(request, "diagnostics/sheet_share.html", context)
    if not form.is_valid():
        return render(request, "diagnostics/sheet_share.html", context, status=422)
    body = sharing_sheets.draft(sheet, **form.chosen())
    context |= {"shown": shown_copy(body), "seen": hash_of_body(body)}
    if request.POST.get("act") != "share":
        return render(request, "diagnostics/sheet_share.html", context)
    try:
        copy = sharing_sheets.freeze(
            sheet, by=request.membership, seen=request.POST.get("seen") or "-", **form.chosen()
        )
    except shared_copies.ChangedMeanwhile:
        form.add_error(None, _("This is not what the preview showed. Look at it again, then share it."))
        return render(request, "diagnostics/sheet_share.html", context, status=409)
    except shared_copies.NotToBeShared:
        form.add_error(None, _("Only a sheet with records, and whose chain of records holds, is shared."))
        return render(request, "diagnostics/sheet_share.html", context, status=409)
    messages.success(request, _("Every member can see this copy now."))
    return redirect("shared_sheet", pk=copy.pk)


@member_required
@require_POST
def shared_sheet_take_back(request: MemberRequest, pk: int) -> HttpResponse:
    """The workshop that shared it takes it back."""
    own = SharedSheet.objects.shown().of_workshop(request.membership.workshop)
    sharing_sheets.take_back(get_object_or_404(own, pk=pk), by=request.membership)
    return redirect("shared_sheets")
