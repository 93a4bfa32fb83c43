"""Instruments of a workshop: what each range measures, how well by its data sheet, and until when it is in date."""

from __future__ import annotations

import datetime

from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from network.access import PrivateModel


class Instrument(PrivateModel):
    name = models.CharField(_("name on the label"), max_length=60)
    serial = models.CharField(_("serial number"), max_length=60)
    calibration_due = models.DateField(_("calibration due"), null=True, blank=True)

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["name"]
        constraints = [models.UniqueConstraint(fields=["workshop", "name"], name="instrument_once")]

    def __str__(self) -> str:
        return self.name

    def concerns(self, on: datetime.date | None = None) -> tuple[str, ...]:
        """Why a reading of this instrument proves nothing on that day, as reason codes; empty when it is in date."""
        if self.calibration_due is None:
            return ("missing_calibration_date",)
        return ("overdue_instrument",) if self.calibration_due < (on or timezone.localdate()) else ()


class InstrumentRange(PrivateModel):
    """One range of an instrument with the accuracy that its data sheet states: percent of reading plus counts."""

    class Unit(models.TextChoices):
        MILLIOHM = "milliohm", _("milliohm")
        OHM = "ohm", _("ohm")
        MEGOHM = "megohm", _("megohm")
        VOLT = "V", _("volt")
        AMPERE = "A", _("ampere")
        MICROHENRY = "microhenry", _("microhenry")
        CELSIUS = "°C", _("degree Celsius")
        RPM = "rpm", _("revolutions per minute")
        LITRE_PER_MINUTE = "l/min", _("litres per minute")

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="ranges")
    unit = models.CharField(_("measures"), max_length=12, choices=Unit)
    highest = models.FloatField(_("range up to"))
    percent_of_reading = models.FloatField(_("accuracy: percent of reading"))
    counts = models.FloatField(_("plus counts"))
    resolution = models.FloatField(_("one count is worth"))

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["instrument__name", "highest"]
        constraints = [
            models.UniqueConstraint(fields=["instrument", "unit", "highest"], name="range_once"),
            models.CheckConstraint(
                condition=Q(highest__gt=0, percent_of_reading__gte=0, counts__gte=0, resolution__gt=0),
                name="range_accuracy_possible",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.instrument}, {self.highest:g} {self.unit}"
