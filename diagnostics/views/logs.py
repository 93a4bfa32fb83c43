"""Logs: upload, which column is what, how far it is read, and what was found."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from diagnostics import log_reading, log_shown
from diagnostics.calculations.measurement_log import LogError
from diagnostics.log_forms import ColumnsForm, SettingsForm, UploadForm
from diagnostics.models import MeasurementLog, Sheet
from network.access import MemberRequest, member_required
from network.asked import NO_KEY, key_of

State = MeasurementLog.State


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def log_new(request: MemberRequest, pk: int) -> HttpResponse:
    """Store a logger's file on a sheet; it is read after its columns were chosen."""
    sheet = get_object_or_404(Sheet, pk=pk)
    form = UploadForm(request.POST, request.FILES) if request.method == "POST" else UploadForm()
    if request.method == "POST" and form.is_valid():
        log = log_reading.store(upload=form.cleaned_data["file"], sheet=sheet, by=request.membership)
        return redirect("log", pk=log.pk)
    context = {"sheet": sheet, "form": form, "logs": MeasurementLog.objects.filter(sheet=sheet)}
    return render(request, "diagnostics/log_new.html", context, status=422 if form.errors else 200)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def log(request: MemberRequest, pk: int) -> HttpResponse:
    """One log: asks for its columns, then tells how far it is, then what was found. The page reads on by itself."""
    shown = get_object_or_404(MeasurementLog.objects.select_related("sheet__family"), pk=pk)
    if request.method == "POST" and request.POST.get("what") == "settings" and shown.state == State.READ:
        return _settings(request, shown)
    if request.method == "POST" or shown.state == State.STORED or "columns" in request.GET:
        return _columns(request, shown)
    if shown.state == State.READING and request.method == "GET":
        log_reading.step(shown)
    if shown.state == State.READING:
        share = round(100 * shown.offset / shown.size) if shown.size else 0
        return render(request, "diagnostics/log_reading.html", {"log": shown, "share": share})
    if shown.state == State.REFUSED:
        context = {"log": shown, "lines": log_shown.lines_around(shown)}
        return render(request, "diagnostics/log_refused.html", context)
    return _found(request, shown, SettingsForm(initial=shown.settings | shown.columns))


def _columns(request: MemberRequest, shown: MeasurementLog) -> HttpResponse:
    """Ask which column is what, and begin to read."""
    given: Any = request.POST.get("line") or request.GET.get("line") or ""
    wanted = key_of(given)
    try:
        look = log_reading.look_at(shown, None if wanted == NO_KEY else wanted)
    except LogError as problem:
        return render(request, "diagnostics/log_refused.html", {"log": shown, "problem": str(problem)}, status=422)
    chosen = shown.columns or log_reading.remembered(look)
    form = ColumnsForm(request.POST if request.method == "POST" else None, look=look, chosen=chosen)
    if request.method == "POST" and form.is_valid():
        log_reading.choose(log=shown, look=look, columns=form.columns(), by=request.membership)
        return redirect("log", pk=shown.pk)
    context = {"log": shown, "look": look, "form": form, "known": bool(chosen)}
    return render(request, "diagnostics/log_columns.html", context, status=422 if form.errors else 200)


def _settings(request: MemberRequest, shown: MeasurementLog) -> HttpResponse:
    """Sum up again with what was typed."""
    form = SettingsForm(request.POST)
    if form.is_valid():
        log_reading.change_settings(log=shown, typed=form.cleaned_data, by=request.membership)
        return redirect("log", pk=shown.pk)
    return _found(request, shown, form, status=422)


def _found(request: MemberRequest, shown: MeasurementLog, form: SettingsForm, status: int = 200) -> HttpResponse:
    if not shown.found:  # a file that went straight into a record
        log_reading.sum_up(shown)
    if not shown.found:
        return render(request, "diagnostics/log_refused.html", {"log": shown})
    context = {
        "log": shown,
        "form": form,
        "answer": log_shown.answer_of(shown),
        "facts": log_shown.facts_of(shown),
        "odd": log_shown.odd_things(shown),
        "gaps": log_shown.gaps_of(shown),
        "pulses": log_shown.pulses_of(shown),
        "ways": log_shown.ways_to_a_record(shown),
        "chart": log_shown.chart_of(shown),
        "sign": _("discharge is negative")
        if shown.columns.get("discharge") == "negative"
        else _("discharge is positive"),
    }
    return render(request, "diagnostics/log.html", context, status=status)
