"""The workshop's own jobs as a list: found, filtered, sorted, and carried away as a table."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from typing import Any

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.models import Job

SHOWN = {
    "": gettext_lazy("all"),
    "bench": gettext_lazy("on the bench"),
    "done": gettext_lazy("handed over"),
    "untold": gettext_lazy("handed over, outcome not shared"),
}
SORTED = {
    "newest": (gettext_lazy("newest first"), ("-booked_in_at", "-pk")),
    "oldest": (gettext_lazy("oldest first"), ("booked_in_at", "pk")),
    "customer": (gettext_lazy("by customer"), ("vehicle__customer__name", "-booked_in_at")),
    "vehicle": (gettext_lazy("by vehicle"), ("vehicle__description", "-booked_in_at")),
}
# A cell that begins so is read as a formula by spreadsheets (OWASP, CSV injection).
FORMULA = ("=", "+", "-", "@", "\t", "\r")


def listed(*, words: str = "", show: str = "", by: str = "") -> Any:
    """The acting workshop's jobs that fit, in order; a word of neither list filters or sorts nothing."""
    rows = Job.objects.select_related("vehicle__customer", "vehicle__family", "part_request", "outcome")
    rows = rows.search(words) if words else rows
    if show == "bench":
        rows = rows.on_the_bench()
    elif show == "done":
        rows = rows.filter(handed_over_at__isnull=False)
    elif show == "untold":
        rows = rows.filter(handed_over_at__isnull=False, outcome__isnull=True)
    _label, order = SORTED.get(by, SORTED["newest"])
    return rows.order_by(*order)


def plain_cell(value: object) -> str:
    """A cell that no spreadsheet takes for a formula."""
    text = "" if value is None else str(value)
    return f"'{text}" if text.startswith(FORMULA) else text


def as_csv(rows: Iterable[Job]) -> str:
    """The jobs as a table, comma between cells, every cell escaped."""
    written = io.StringIO()
    table = csv.writer(written)
    table.writerow(
        [
            _("Job"), _("Booked in"), _("Handed over"), _("Customer"), _("Vehicle"), _("Registration"), _("VIN"),
            _("Odometer, km"), _("Trouble codes"), _("Part number"),
        ]
    )  # fmt: skip
    for job in rows:
        vehicle = job.vehicle
        codes = " ".join(dict.fromkeys(str(code) for code in job.codes.all()))  # before and after the repair
        cells = (
            job.number, _day(job.booked_in_at), _day(job.handed_over_at), vehicle.customer.name, vehicle.description,
            vehicle.registration, vehicle.vin, vehicle.odometer_km, codes,
            job.part_request.number if job.part_request else "",
        )  # fmt: skip
        table.writerow([plain_cell(cell) for cell in cells])
    return written.getvalue()


def _day(at: Any) -> str:
    return date_format(timezone.localtime(at), "Y-m-d") if at else ""
