"""A photograph of the display: taken at the car, typed later."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from diagnostics import photographing
from diagnostics.models import DisplayPhoto
from diagnostics.photo_form import PhotoForm
from diagnostics.views.records import sheet_and_kind, way_back
from network.access import MemberRequest, member_required


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def display_photo(request: MemberRequest, pk: int, kind: str) -> HttpResponse:
    """Keep a photograph of the display; it waits on the sheet until somebody types it."""
    sheet, chosen = sheet_and_kind(pk, kind)
    sent = request.method == "POST"
    form = PhotoForm(request.POST if sent else None, request.FILES if sent else None)
    if sent and form.is_valid():
        for picture in form.cleaned_data["picture"]:
            photographing.photograph(sheet, chosen, picture, by=request.membership)
        messages.success(request, _("Kept. The photograph waits on this sheet until somebody types it."))
        return redirect(way_back(request) or reverse("sheet", args=[sheet.pk]))
    context = {"sheet": sheet, "kind": chosen, "form": form, "next": way_back(request)}
    return render(request, "diagnostics/display_photo.html", context, status=422 if form.errors else 200)


@member_required
@require_POST
def display_photo_put_aside(request: MemberRequest, pk: int) -> HttpResponse:
    photo = get_object_or_404(DisplayPhoto, pk=pk)
    if not photographing.put_aside(photo, by=request.membership):
        messages.info(request, _("This photograph was typed, or put aside, already."))
    return redirect("sheet", pk=photo.sheet_id)
