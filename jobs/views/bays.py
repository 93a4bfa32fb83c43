"""Bays, and labels that a phone reads: each opens where one goes on."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from diagnostics.labels import Label, instrument_label, part_label
from diagnostics.models import Sheet
from diagnostics.qr import link_picture
from jobs import bays as standing
from jobs.bay_forms import BayForm, LabelsForm, StandsForm
from jobs.models import Bay
from network.access import MemberRequest, member_required


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def bays(request: MemberRequest) -> HttpResponse:
    """All bays with what stands in them; a new one."""
    form = BayForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        standing.enter(form.instance, by=request.membership)
        return redirect("bays")
    context = {"form": form, "bays": Bay.objects.select_related("job__vehicle")}
    return render(request, "jobs/bays.html", context, status=422 if form.errors else 200)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def bay(request: MemberRequest, pk: int) -> HttpResponse:
    """What the label opens: the job that stands here, or a choice of what comes in."""
    shown = get_object_or_404(Bay.objects.select_related("job"), pk=pk)
    if request.method != "POST" and shown.open_job:
        return redirect("job", pk=shown.open_job.pk)
    form = StandsForm(request.POST if request.method == "POST" else None)
    status = 422 if form.errors else 200
    if request.method == "POST" and form.is_valid():
        if standing.put_in(shown, form.cleaned_data["job"], by=request.membership):
            return redirect("job", pk=form.cleaned_data["job"].pk)
        form.add_error(None, _("Another car stands in this bay by now. Look at the list of bays."))
        status = 409
    return render(request, "jobs/bay.html", {"bay": shown, "form": form}, status=status)


@member_required
@require_POST
def bay_clear(request: MemberRequest, pk: int) -> HttpResponse:
    shown = get_object_or_404(Bay, pk=pk)
    if not standing.clear(shown, by=request.membership):
        messages.info(request, _("This bay was empty already."))
    return redirect("bays")


@member_required
@require_safe
def labels(request: MemberRequest) -> HttpResponse:
    """Choose what gets a label; with a choice made, the labels themselves, for print."""
    form = LabelsForm(request.GET if "paper" in request.GET else None)
    if form.is_bound and form.is_valid():
        chosen = form.cleaned_data
        context: dict[str, Any] = {"labels": _labels(chosen), "paper": chosen["paper"]}
        return render(request, "jobs/labels_printed.html", context)
    return render(request, "jobs/labels.html", {"form": form}, status=422 if form.errors else 200)


def _labels(chosen: dict[str, Any]) -> list[Label]:
    of_bays = [
        Label(kind=_("Bay"), name=one.name, line="", qr=link_picture("bay", args=[one.pk]))
        for one in chosen.get("bays") or ()
    ]
    of_meters = [instrument_label(one, kind=_("Instrument")) for one in chosen.get("instruments") or ()]
    sheets = Sheet.objects.filter(pk__in=chosen.get("parts") or ())
    plates = [(sheet.part_number, sheet.part_serial) for sheet in sheets]
    plates += [(chosen["number"], chosen["serial"])] if chosen["serial"] else []
    return of_bays + of_meters + [part_label(kind=_("Part"), number=n, serial=s) for n, s in plates]
