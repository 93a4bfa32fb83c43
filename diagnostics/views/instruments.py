"""The workshop's instruments: what each range measures, how well, and until when it is in date."""

from __future__ import annotations

from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from diagnostics import instruments as keeping
from diagnostics.forms import InstrumentForm, MeasureForm, RangeForm
from diagnostics.models import Instrument
from network.access import MemberRequest, member_required


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def instruments(request: MemberRequest) -> HttpResponse:
    """All instruments with their ranges; a new one with its first range."""
    data = request.POST if request.method == "POST" else None
    form, range_form = InstrumentForm(data), RangeForm(data)
    if data is not None and form.is_valid() & range_form.is_valid():
        with transaction.atomic():
            made = keeping.keep_instrument(form.instance, by=request.membership)
            keeping.add_range(range_form.instance, instrument=made, by=request.membership)
        return redirect("instruments")
    listed = list(Instrument.objects.prefetch_related("ranges"))
    today = timezone.localdate()
    context = {
        "form": form,
        "range_form": range_form,
        "instruments": listed,
        "overdue": sum(1 for one in listed if one.concerns(today)),
    }
    return render(
        request, "diagnostics/instruments.html", context, status=422 if form.errors or range_form.errors else 200
    )


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def instrument(request: MemberRequest, pk: int) -> HttpResponse:
    """One instrument: a new calibration date, or a further range."""
    shown = get_object_or_404(Instrument, pk=pk)
    adding = request.POST.get("what") == "range"
    form = InstrumentForm(request.POST if request.method == "POST" and not adding else None, instance=shown)
    range_form = RangeForm(request.POST if request.method == "POST" and adding else None)
    range_form.instance.instrument = shown
    sent = range_form if adding else form
    if request.method == "POST" and sent.is_valid():
        if adding:
            keeping.add_range(range_form.instance, instrument=shown, by=request.membership)
        else:
            keeping.keep_instrument(form.instance, by=request.membership)
        return redirect("instrument", pk=shown.pk)
    context = {
        "instrument": shown,
        "form": form,
        "range_form": range_form,
        "ranges": shown.ranges.all(),
        "history": keeping.history(shown),
        "measure": MeasureForm(instrument=shown),
    }
    return render(request, "diagnostics/instrument.html", context, status=422 if sent.errors else 200)


@member_required
@require_safe
def instrument_measure(request: MemberRequest, pk: int) -> HttpResponse:
    """On to the form of a record on the chosen sheet, with this instrument chosen in it."""
    shown = get_object_or_404(Instrument, pk=pk)
    form = MeasureForm(request.GET, instrument=shown)
    if not form.is_valid():
        return redirect("instrument", pk=shown.pk)
    sheet, kind = form.cleaned_data["sheet"], form.cleaned_data["kind"]
    return redirect(reverse("record_new", args=[sheet.pk, kind]) + f"?instrument={shown.pk}")
