"""The battery of a car: what was found over the years, and how long it will do."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_http_methods

from diagnostics.models import Battery
from diagnostics.views.batteries import battery_page
from jobs.models import Vehicle
from jobs.outlook import battery_of, give_battery, outlook_of
from network.access import MemberRequest, member_required


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def vehicle_battery(request: MemberRequest, pk: int) -> HttpResponse:
    """The outlook of a car's battery, from all its visits and from what was typed in from before."""
    car = get_object_or_404(Vehicle.objects.select_related("family", "battery"), pk=pk)
    return battery_page(
        request,
        battery=battery_of(car) or Battery(),
        known=lambda: outlook_of(car),
        keep=lambda kept: give_battery(car, kept),
        context={"title": car.description, "jobs": car.jobs.all(), "what": car.registration},
    )
