"""Sheets: what was measured on one car or part, and whether a printed hash still holds."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_safe

from diagnostics.chain import first_break
from diagnostics.forms import SheetForm, VerifyForm
from diagnostics.kinds import all_kinds
from diagnostics.models import Record, Sheet
from diagnostics.photographing import waiting
from diagnostics.shown import rows_of
from diagnostics.verifying import sheet_with_hash
from network.access import MemberRequest, acting_for, member_required


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def sheets(request: MemberRequest) -> HttpResponse:
    """Sheets of the workshop, newest first; a new one for a part on the bench."""
    # A link from a part, a job or a request brings what is known of its plate.
    known = {name: request.GET[name][:60] for name in ("part_number", "part_serial") if name in request.GET}
    form = SheetForm(request.POST if request.method == "POST" else None, initial=known)
    if request.method == "POST" and form.is_valid():
        made = form.save(commit=False)
        made.made_by = request.user
        made.save()
        return redirect("sheet", pk=made.pk)
    listed = Sheet.objects.select_related("family")[:50]
    return render(
        request, "diagnostics/sheets.html", {"form": form, "sheets": listed}, status=422 if form.errors else 200
    )


@member_required
@require_safe
def sheet(request: MemberRequest, pk: int) -> HttpResponse:
    """One sheet with its records in order, and the kinds that can be added."""
    shown = get_object_or_404(Sheet.objects.select_related("family"), pk=pk)
    records = Record.objects.filter(sheet=shown).order_by("sequence")
    context = {"sheet": shown, "rows": rows_of(records), "kinds": all_kinds().values(), "copies": shown.copies.shown()}
    context["photos"] = waiting(shown)
    return render(request, "diagnostics/sheet.html", context)


@require_safe
def verify(request: HttpRequest) -> HttpResponse:
    """Whether the sheet that ends in, or contains, a printed hash still holds. Tells nothing of what stands on it."""
    form = VerifyForm(request.GET or None)
    context: dict[str, object] = {"form": form}
    if form.is_bound and form.is_valid():
        found = sheet_with_hash(form.cleaned_data["hash"])
        context["asked"] = form.cleaned_data["hash"]
        if found:
            shown, place = found
            context |= {"found": shown, "place": place, "since": shown.length - place}
            with acting_for(shown.workshop_id):
                context["breach"] = first_break(shown)
    return render(request, "diagnostics/verify.html", context, status=422 if form.is_bound and form.errors else 200)
