"""A part by its plate: every sheet of it in order of time, and one sheet whole for print."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from diagnostics.forms import PartForm
from diagnostics.models import Record, Sheet
from diagnostics.part_story import story
from diagnostics.presenting import present_record, typed_words
from diagnostics.qr import link_picture
from diagnostics.shown import name_of
from diagnostics.summary import instrument_words
from network.access import MemberRequest, member_required


@member_required
@require_safe
def part_sheets(request: MemberRequest) -> HttpResponse:
    """Bench, carriage, fitting: all that was measured on the part with this number and serial, by whom."""
    form = PartForm(request.GET or None)
    asked = form.cleaned_data if form.is_bound and form.is_valid() else {"number": "", "serial": ""}
    stages = story(**asked, workshop=request.membership.workshop)
    context = {
        "form": form,
        "asked": any(asked.values()),
        "stages": stages,
        "workshops": len({stage.workshop.pk for stage in stages}),
        **asked,
    }
    return render(
        request, "diagnostics/part_sheets.html", context, status=422 if form.is_bound and form.errors else 200
    )


@member_required
@require_safe
def sheet_whole(request: MemberRequest, pk: int) -> HttpResponse:
    """The sheet with every record in full, as it is printed: readings, limits, sources, who, with what instrument."""
    shown = get_object_or_404(Sheet.objects.select_related("family"), pk=pk)
    records = list(Record.objects.filter(sheet=shown).select_related("replaces").order_by("sequence"))
    corrected = {record.replaces_id for record in records}
    context = {
        "sheet": shown,
        "pages": [
            {
                "record": record,
                "name": name_of(record),
                "judged": present_record(record),
                "typed": typed_words(record),
                "instrument": instrument_words(record.body["instrument"]),
                "ended": record.pk in corrected,
            }
            for record in records
        ],
        "qr": link_picture("verify", f"hash={shown.last_hash}") if shown.last_hash else "",
    }
    return render(request, "diagnostics/sheet_whole.html", context)
