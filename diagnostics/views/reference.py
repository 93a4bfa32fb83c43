"""Reference readings: a preview of exactly what will be seen, sharing, the own ones, and taking them back."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from diagnostics import reference_readings, shared_copies
from diagnostics.chain import hash_of_body
from diagnostics.models import Record, SharedFigures
from diagnostics.reference_form import ShareFiguresForm
from diagnostics.shown_reference import shown_draft, shown_figures
from network.access import MemberRequest, member_required


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def record_share(request: MemberRequest, pk: int) -> HttpResponse:
    """Say how the part turned out, see exactly what every member would see, and only then share it."""
    record = get_object_or_404(Record.objects.select_related("sheet__family"), pk=pk)
    band = SharedFigures.Mileage.of(record.sheet.odometer_km)
    form = ShareFiguresForm(request.POST if request.method == "POST" else None, initial={"mileage": band})
    context: dict[str, Any] = {"record": record, "form": form, "can": reference_readings.can_be_shared(record)}
    page = "diagnostics/record_share.html"
    if request.method != "POST":
        return render(request, page, context)
    if not form.is_valid():
        return render(request, page, context, status=422)
    body = reference_readings.draft(record, **form.cleaned_data)
    context |= {"shown": shown_draft(body), "seen": hash_of_body(body)}
    if request.POST.get("act") != "share":
        return render(request, page, context)
    try:
        seen = request.POST.get("seen") or "-"
        reference_readings.share(record, by=request.membership, seen=seen, **form.cleaned_data)
    except shared_copies.ChangedMeanwhile:
        form.add_error(None, _("This is not what the preview showed. Look at it again, then share it."))
        return render(request, page, context, status=409)
    except shared_copies.NotToBeShared:
        form.add_error(None, _("These figures are shared already, or can’t be compared with anything."))
        return render(request, page, context, status=409)
    messages.success(request, _("Other members’ readings are compared with these figures now."))
    return redirect("record", pk=record.pk)


@member_required
@require_safe
def references(request: MemberRequest) -> HttpResponse:
    """The figures that the own workshop shares, newest first."""
    rows = SharedFigures.objects.shown().of_workshop(request.membership.workshop)
    rows = rows.select_related("family").prefetch_related("readings")
    page = Paginator(rows, 25).get_page(request.GET.get("page"))
    context = {"page": page, "rows": [shown_figures(one) for one in page]}
    return render(request, "diagnostics/references.html", context)


@member_required
@require_POST
def reference_take_back(request: MemberRequest, pk: int) -> HttpResponse:
    """The workshop that shared the figures takes them back."""
    own = SharedFigures.objects.shown().of_workshop(request.membership.workshop)
    reference_readings.take_back(get_object_or_404(own, pk=pk), by=request.membership)
    return redirect("references")
