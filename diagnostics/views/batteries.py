"""The battery of a part on the bench, by its serial number; what a car's page of the same kind shares with it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.db import IntegrityError, transaction
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from diagnostics.battery_forms import BatteryForm, EarlierForm
from diagnostics.models import Battery, EarlierCapacity, Sheet
from diagnostics.outlook import Outlook, outlook_of_serial
from network.access import MemberRequest, member_required
from network.asked import key_of
from network.models import Event


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def sheet_battery(request: MemberRequest, pk: int) -> HttpResponse:
    """The outlook of the battery whose serial number this sheet names."""
    sheet = get_object_or_404(Sheet.objects.select_related("family"), pk=pk)
    if not sheet.part_serial:
        raise Http404
    battery = Battery.objects.filter(serial=sheet.part_serial).first() or Battery(serial=sheet.part_serial)
    context = {"title": sheet.title, "back": sheet, "what": sheet.part_serial}
    return battery_page(
        request, battery=battery, known=lambda: outlook_of_serial(sheet), keep=lambda kept: None, context=context
    )


def battery_page(
    request: MemberRequest,
    *,
    battery: Battery,
    known: Callable[[], Outlook],
    keep: Callable[[Battery], None],
    context: dict[str, Any],
) -> HttpResponse:
    """Show the outlook; keep what is typed. `known` reads it, `keep` ties a battery that is new to what names it."""
    act = request.POST.get("what") if request.method == "POST" else None
    form = BatteryForm(request.POST if act == "battery" else None, instance=battery)
    earlier = EarlierForm(request.POST if act == "earlier" else None)
    if act == "take_out":
        row = get_object_or_404(EarlierCapacity, battery=battery.pk, pk=key_of(request.POST.get("finding")))
        row.take_out(by=request.membership)
        messages.success(request, _("Taken out: it counts no more."))
        return redirect(request.path)
    sent = form if act == "battery" else earlier if act == "earlier" else None
    if sent is not None and sent.is_valid():
        try:
            _keep(request, sent, battery, keep)
        except IntegrityError:
            messages.warning(request, _("Somebody else entered this battery at the same moment. Look, and send again."))
        return redirect(request.path)
    wrong = request.method == "POST"
    context |= {"outlook": known(), "form": form, "earlier": earlier}
    return render(request, "diagnostics/battery.html", context, status=422 if wrong else 200)


@transaction.atomic
def _keep(
    request: MemberRequest, sent: BatteryForm | EarlierForm, battery: Battery, keep: Callable[[Battery], None]
) -> None:
    """Store what was sent; an earlier finding may be the first that is said of this battery."""
    if isinstance(sent, BatteryForm):
        kept = sent.save()
        Event.record("battery_dated", kept, by=request.user, workshop=request.membership.workshop)
    else:
        if battery.pk is None:
            battery.save()
        sent.instance.battery = kept = battery
        sent.instance.enter(by=request.membership)
    keep(kept)
