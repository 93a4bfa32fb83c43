"""A record: entered, judged while it is typed, stored, shown, corrected."""

from __future__ import annotations

import hashlib
from typing import Any

from django.contrib import messages
from django.core.files.base import ContentFile
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from diagnostics import photographing
from diagnostics.expected import beside, expected_of
from diagnostics.kind import Kind, Meter
from diagnostics.kinds import kind_of
from diagnostics.log_shown import log_initial
from diagnostics.models import DisplayPhoto, InstrumentRange, MeasurementLog, Record, Sheet
from diagnostics.presenting import present, present_record, typed_words
from diagnostics.record_form import RecordForm
from diagnostics.recording import Entry, add_record, judge, reading_of
from diagnostics.reference_readings import can_be_shared, compared, compared_record
from diagnostics.shown_reference import shown_comparisons
from diagnostics.summary import instrument_words
from network.access import MemberRequest, member_required
from network.asked import key_of


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def record_new(request: MemberRequest, pk: int, kind: str) -> HttpResponse:
    """Enter one record on a sheet; with `?corrects=` the new one replaces an older one."""
    sheet, chosen = sheet_and_kind(pk, kind)
    form = _form(request, sheet, chosen)
    if request.method == "POST" and form.is_valid():
        try:
            record = store(form)
        except photographing.AlreadyTyped:
            form.add_error(None, _("Somebody typed this photograph, or put it aside, meanwhile. Look at the sheet."))
            return render(request, "diagnostics/record_new.html", _shown(request, form), status=409)
        messages.success(request, _("Kept as record %(n)d of this sheet.") % {"n": record.sequence})
        return redirect(way_back(request) or reverse("record", args=[record.pk]))
    return render(request, "diagnostics/record_new.html", _shown(request, form), status=422 if form.errors else 200)


def _shown(request: MemberRequest, form: RecordForm) -> dict[str, Any]:
    facts = {"sheet": form.sheet, "kind": form.kind, "form": form, "corrects": form.corrects}
    return facts | {"next": way_back(request)}


@member_required
@require_POST
def record_judge(request: MemberRequest, pk: int, kind: str) -> HttpResponse:
    """What the reading proves as typed so far, without keeping it. An incomplete form shows what is missing."""
    sheet, chosen = sheet_and_kind(pk, kind)
    form = _form(request, sheet, chosen)
    # A chosen log isn't sent each time a field changes: it is read, and judged, when the record is kept.
    waits = bool(chosen.logs) and "log_chosen" in request.POST
    context: dict[str, Any] = {"judged": None, "form": form, "kind": chosen, "swapped": True, "waits": waits}
    if form.is_valid() and not waits:
        reading, assessment = judge(form.entry())
        context["judged"] = present(chosen, reading, assessment)
        hints = expected_of(chosen, sheet.family)
        context["expected"] = beside(hints, chosen, reading, assessment.findings)
        context["comparisons"] = shown_comparisons(chosen, compared(chosen, sheet.family, assessment.findings))
    return render(request, "diagnostics/_judged.html", context)


@member_required
@require_safe
def record(request: MemberRequest, pk: int) -> HttpResponse:
    """One record as it was taken and judged."""
    shown = get_object_or_404(Record.objects.select_related("sheet__family", "taken_by", "replaces"), pk=pk)
    corrected_by = Record.objects.filter(replaces=shown).first()
    kind, others = kind_of(shown.kind), compared_record(shown)
    reading, assessment = reading_of(shown)
    hints = expected_of(kind, shown.sheet.family) if kind else []
    context = {
        "comparisons": shown_comparisons(kind, others) if kind else [],
        "expected": beside(hints, kind, reading, assessment.findings) if kind else [],
        "can_be_shared": can_be_shared(shown),
        "record": shown,
        "judged": present_record(shown),
        "typed": typed_words(shown),
        "instrument": instrument_words(shown.body["instrument"]),
        "photo": DisplayPhoto.objects.filter(record=shown).select_related("picture").first(),
        "corrected_by": corrected_by,
    }
    return render(request, "diagnostics/record.html", context)


@transaction.atomic
def store(form: RecordForm) -> Record:
    """Keep the log file, if there is one, and add the record that was measured from it."""
    entry = form.entry()
    for log, data in form.logs.values():
        stored = MeasurementLog(sheet=form.sheet, sha256=hashlib.sha256(data).hexdigest(), rows=len(log.times_s))
        stored.file.save(f"{stored.sha256[:16]}.csv", ContentFile(data), save=False)
        stored.save()
        entry = Entry(**{**vars(entry), "log": stored})
    record = add_record(entry)
    if entry.photo is not None:
        photographing.typed_as(entry.photo, record, by=entry.taken_by)
    return record


def sheet_and_kind(pk: int, code: str) -> tuple[Sheet, Kind]:
    kind = kind_of(code)
    if kind is None:
        raise Http404
    return get_object_or_404(Sheet.objects.select_related("family", "workshop"), pk=pk), kind


def _form(request: MemberRequest, sheet: Sheet, kind: Kind) -> RecordForm:
    given: Any = request.GET.get("corrects", "")
    corrects = None
    if given:
        known = Record.objects.filter(sheet=sheet, kind=kind.code).standing().select_related("sheet")
        corrects = get_object_or_404(known, pk=key_of(given))
    return RecordForm(
        request.POST if request.method == "POST" else None,
        request.FILES if request.method == "POST" else None,
        kind=kind,
        sheet=sheet,
        membership=request.membership,
        corrects=corrects,
        initial=({"subject": request.GET.get("subject", "1")} if kind.per_subject and not given else {})
        | _from_log(request, sheet, kind)
        | _with_instrument(request, kind)
        | ({"photo": key_of(request.GET["photo"])} if "photo" in request.GET else {}),
    )


def _with_instrument(request: MemberRequest, kind: Kind) -> dict[str, Any]:
    """The instrument whose label was read, chosen wherever this kind asks for one that measures so."""
    if "instrument" not in request.GET:
        return {}
    asked = {"instrument_range": kind.unit} | {f.name: f.unit for f in kind.fields if isinstance(f, Meter)}
    ranges = InstrumentRange.objects.filter(instrument=key_of(request.GET["instrument"])).order_by("-highest")
    by_unit = {used.unit: used.pk for used in ranges}  # the finest range of each unit is the last
    return {name: by_unit[unit] for name, unit in asked.items() if unit in by_unit}


def _from_log(request: MemberRequest, sheet: Sheet, kind: Kind) -> dict[str, Any]:
    """What a log that was read before fills in: itself, the clamp and the cut-off, or the figures of one pulse."""
    asked: Any = request.GET.get("log", "")
    if not asked:
        return {}
    log = get_object_or_404(MeasurementLog, sheet=sheet, state=MeasurementLog.State.READ, pk=key_of(asked))
    number: Any = request.GET.get("pulse", "")
    return log_initial(log, kind, key_of(number))


def way_back(request: HttpRequest) -> str:
    """Where the page that led here wants to be returned to, if that is a page of ours."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    return wanted if url_has_allowed_host_and_scheme(wanted, allowed_hosts=None) else ""
