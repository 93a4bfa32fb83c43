"""The lines of a job as a table for the workshop's own invoicing: what was agreed, and what was really used.

An invoice is not ours: programs that write one read these tables. Figures stand as figures, with a point; a text that
a spreadsheet would take for a formula is escaped, and characters that no spreadsheet holds are left out.
"""

from __future__ import annotations

from decimal import Decimal

import tablib
from django.utils.translation import gettext as _

from jobs import estimate_words
from jobs.estimate_words import Reckoned
from jobs.estimating import Standing, standing
from jobs.listing import plain_cell
from jobs.models import Job

Cell = str | int | Decimal


def lines_of(job: Job) -> tablib.Dataset:
    """One row a line: agreed lines first, then the used ones."""
    stands = standing(job)
    table = tablib.Dataset(title=f"job {job.number}")
    table.headers = [
        _("Job"), _("Customer"), _("Registration"), _("Stands for"), _("Line"), _("Kind"), _("In words"),
        _("Part number"), _("Quantity"), _("Unit"), _("Price of one"), _("Tax, %"), _("Net"), _("Currency"),
    ]  # fmt: skip
    for name, reckoned in _parts(stands):
        for row in _rows(job, name, reckoned):
            table.append([_cell(cell) for cell in row])
    return table


def _parts(stands: Standing) -> list[tuple[str, Reckoned]]:
    parts = []
    if stands.agreed:
        agreed = estimate_words.of_estimate(stands.agreed)
        parts.append((_("agreed, version %(n)d") % {"n": stands.agreed.number}, agreed))
    if stands.used:
        parts.append((_("used"), stands.used))
    return parts


def _rows(job: Job, name: str, told: Reckoned) -> list[tuple[Cell, ...]]:
    vehicle = job.vehicle
    return [
        (
            job.number, vehicle.customer.name, vehicle.registration, name, position,
            str(row.line.get_kind_display()), row.line.words, row.line.part_number, row.line.quantity,
            _("hour") if row.line.kind == "labour" else _("piece"), row.price, row.line.tax_percent, row.net,
            told.currency,
        )
        for position, row in enumerate(told.rows, start=1)
    ]  # fmt: skip


def _cell(value: Cell) -> Cell:
    if isinstance(value, str):
        return plain_cell("".join(sign for sign in value if sign.isprintable()))
    return value
