"""The workshop's own shelf list: seen, uploaded, its columns named, carried away, thrown away."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from network.access import MemberRequest, member_required
from network.asked import words_to_find
from parts import shelf
from parts.models import ShelfItem, ShelfUpload
from parts.numbers import normalise
from parts.shelf_forms import ColumnsForm, ShelfForm


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def shelf_list(request: MemberRequest) -> HttpResponse:
    """What lies on the shelf, what of it is asked for now, and a form for a new list."""
    form = ShelfForm(request.POST, request.FILES) if request.method == "POST" else ShelfForm()
    if request.method == "POST" and form.is_valid():
        given = form.cleaned_data["file"]
        upload = shelf.put_aside(name=given.name, table=given.table, by=request.membership)
        return redirect("shelf_columns", pk=upload.pk)
    wanted = words_to_find(request)
    items = ShelfItem.objects.all()
    number = normalise(number=wanted)
    context = {
        "form": form,
        "wanted": wanted,
        "lines": items.count(),
        "page": Paginator(items.filter(normalised__contains=number) if number else items, 50).get_page(
            request.GET.get("page")
        ),
        "asked_for": shelf.asked_for_now(request.membership).select_related("asked_by_workshop")[:25],
        "waiting": ShelfUpload.objects.first(),
    }
    return render(request, "parts/shelf.html", context, status=422 if form.errors else 200)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def shelf_columns(request: MemberRequest, pk: int) -> HttpResponse:
    """Name the columns of an uploaded table; taken in whole, or every wrong line is named."""
    upload = get_object_or_404(ShelfUpload.objects.all(), pk=pk)
    form = ColumnsForm(request.POST if request.method == "POST" else None, headers=upload.table["headers"])
    refused = None
    if request.method == "POST" and form.is_valid():
        try:
            lines = shelf.take_in(upload=upload, columns=form.columns, by=request.membership)
        except shelf.NotTaken as not_taken:
            refused = not_taken
        else:
            done = ngettext("One line is on your shelf list.", "%(n)d lines are on your shelf list.", lines)
            messages.success(request, done % {"n": lines})
            return redirect("shelf")
    context = {
        "upload": upload,
        "form": form,
        "refused": refused,
        "headers": upload.table["headers"],
        "rows": upload.table["rows"][:5],
        "count": len(upload.table["rows"]),
    }
    return render(request, "parts/shelf_columns.html", context, status=422 if form.errors or refused else 200)


@member_required
@require_safe
def shelf_csv(request: MemberRequest) -> HttpResponse:
    """The own list as CSV."""
    answer = HttpResponse(shelf.as_csv(ShelfItem.objects.all()), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = 'attachment; filename="shelf.csv"'
    return answer


@member_required
@require_POST
def shelf_clear(request: MemberRequest) -> HttpResponse:
    """Throw the own list away."""
    shelf.clear(by=request.membership)
    messages.success(request, _("Your shelf list is empty; nothing is matched any more."))
    return redirect("shelf")
