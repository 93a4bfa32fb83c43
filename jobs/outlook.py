"""The battery outlook of a car: all capacities found over its visits, and those typed in from before.

The job's page, the page of the battery and the owner's report call `outlook_of(vehicle)`. A car that comes back may
be booked in as a new row; the same VIN makes it the same car.
"""

from __future__ import annotations

from typing import Any

from django.db import transaction
from django.db.models import Q
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from diagnostics.models import Battery, Sheet
from diagnostics.outlook import Outlook, outlook
from jobs.models import Job, Vehicle


def outlook_of(vehicle: Vehicle) -> Outlook:
    """What is known of this car's battery and how long it will do: `sentence`, `found`, `chart`, `years`, `km`."""
    battery = battery_of(vehicle)
    of_battery = Q(job__vehicle__in=same_car(vehicle))
    if battery and battery.serial:
        of_battery |= Q(part_serial=battery.serial)  # on the bench, which knows of no odometer
    sheets = dict(Sheet.objects.filter(of_battery).values_list("pk", "job__odometer_km"))
    return outlook(sheets=sheets, battery=battery, family=vehicle.family)


def same_car(vehicle: Vehicle) -> Any:
    """Rows of this car, to be asked within another query: itself, and every other with its VIN."""
    same = Q(pk=vehicle.pk) | (Q(vin=vehicle.vin) if vehicle.vin else Q())
    return Vehicle.objects.filter(same)


def battery_of(vehicle: Vehicle) -> Battery | None:
    """The battery that the car names, on whichever of its rows."""
    if vehicle.battery_id:
        return vehicle.battery
    named = same_car(vehicle).filter(battery__isnull=False).select_related("battery").order_by("-pk").first()
    return named.battery if named else None


@transaction.atomic
def give_battery(vehicle: Vehicle, battery: Battery) -> None:
    """All rows of the car name this battery from now on."""
    same_car(vehicle).update(battery=battery)
    vehicle.battery = battery


def battery_words(job: Job) -> list[str]:
    """The outlook in one sentence, then every capacity that it rests on; without one, that none was measured.

    After handover it is what was told then: years count from that day, and later findings belong to later jobs.
    """
    if job.battery_told is not None:
        return list(job.battery_told)
    outlook = outlook_of(job.vehicle)
    found = [
        _("%(day)s: %(figure)s of the rated capacity")
        % {"day": date_format(one.on, "DATE_FORMAT"), "figure": one.figure}
        for one in outlook.counted
    ]
    if not found:
        return [_("The capacity of the traction battery was not measured; how long it will do can't be told.")]
    return [str(outlook.sentence), "; ".join(found) + "."]
