"""Check resistors of the workshop, and reading one with a meter the same day."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from diagnostics import checking
from diagnostics.checking_forms import CheckForm, CheckResistorForm
from diagnostics.models import CheckResistor, Instrument, InstrumentCheck
from network.access import MemberRequest, member_required

SHOWN = 20  # the newest checks of an instrument


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def check_resistors(request: MemberRequest) -> HttpResponse:
    """All check resistors; a new one with its certificate."""
    form = CheckResistorForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        checking.keep_resistor(form.instance, by=request.membership)
        return redirect("check_resistors")
    context = {"form": form, "resistors": CheckResistor.objects.all()}
    return render(request, "diagnostics/check_resistors.html", context, status=422 if form.errors else 200)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def check_resistor(request: MemberRequest, pk: int) -> HttpResponse:
    """One check resistor, with a new certificate; checks of the past keep the one of their day."""
    shown = get_object_or_404(CheckResistor, pk=pk)
    form = CheckResistorForm(request.POST if request.method == "POST" else None, instance=shown)
    if request.method == "POST" and form.is_valid():
        checking.keep_resistor(form.instance, by=request.membership)
        return redirect("check_resistors")
    context = {"form": form, "resistor": get_object_or_404(CheckResistor, pk=pk)}
    return render(request, "diagnostics/check_resistor.html", context, status=422 if form.errors else 200)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def instrument_check(request: MemberRequest, pk: int) -> HttpResponse:
    """Read a check resistor with one range of this instrument; the checks so far."""
    shown = get_object_or_404(Instrument, pk=pk)
    form = CheckForm(request.POST if request.method == "POST" else None, instrument=shown)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        made = checking.check(
            typed["instrument_range"], typed["resistor"], reading=typed["reading"], by=request.membership
        )
        words = {
            "within": _("It reads the resistor right. Its readings in this range count today."),
            "outside": _("It reads outside its stated accuracy: today its readings in this range prove nothing."),
        }
        messages.info(request, words.get(made.verdict, _("This check can’t tell, so it changes nothing.")))
        return redirect("instrument_check", pk=shown.pk)
    checks = InstrumentCheck.objects.filter(instrument_range__instrument=shown)
    context = {
        "instrument": shown,
        "form": form,
        "can": all(form.fields[name].queryset.exists() for name in ("instrument_range", "resistor")),  # type: ignore[attr-defined]
        "checks": checks.select_related("instrument_range__instrument", "resistor", "checked_by")[:SHOWN],
    }
    return render(request, "diagnostics/instrument_check.html", context, status=422 if form.errors else 200)
