"""Instruments of a workshop: what each range measures, how well by its data sheet, and until when it is in date."""

from __future__ import annotations

import datetime

from django.conf import settings
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
        CELSIUS = "°C", _("degrees Celsius")
        RPM = "rpm", _("revolutions per minute")
        MICROSIEMENS_PER_CM = "µS/cm", _("microsiemens per centimetre")
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


class CheckResistor(PrivateModel):
    """A certified resistor: a meter that is out of date and reads it right may be used that day (`checking.py`)."""

    class Unit(models.TextChoices):
        MILLIOHM = "milliohm", _("milliohm")
        MEGOHM = "megohm", _("megohm")

    name = models.CharField(_("name on the label"), max_length=60)
    serial = models.CharField(_("serial number"), max_length=60)
    unit = models.CharField(_("certified in"), max_length=8, choices=Unit)
    certified_value = models.FloatField(_("certified value"))
    certified_uncertainty = models.FloatField(_("its uncertainty (k = 2)"))
    certificate = models.CharField(_("certificate: number, laboratory, date"), max_length=120)
    due = models.DateField(_("certificate good until"))

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(fields=["workshop", "name"], name="check_resistor_once"),
            models.CheckConstraint(
                condition=Q(certified_value__gt=0, certified_uncertainty__gte=0), name="check_resistor_possible"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name}, {self.certified_value:g} {self.unit}"

    def overdue(self, on: datetime.date | None = None) -> bool:
        return self.due < (on or timezone.localdate())


class InstrumentCheck(PrivateModel):
    """One range of a meter read against a check resistor: what was read, and what the certificate said that day."""

    instrument_range = models.ForeignKey(InstrumentRange, on_delete=models.PROTECT, related_name="checks")
    resistor = models.ForeignKey(CheckResistor, on_delete=models.PROTECT, related_name="checks")
    certified_value = models.FloatField()
    certified_uncertainty = models.FloatField()
    certificate = models.CharField(max_length=120)
    resistor_due = models.DateField()
    reading = models.FloatField(_("reading"))
    allowed = models.FloatField()  # the accuracy that the data sheet states at the certified value
    verdict = models.CharField(max_length=8)
    checked_at = models.DateTimeField()
    checked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["-checked_at", "-pk"]
        indexes = [models.Index(fields=["instrument_range", "-checked_at"], name="checks_of_range")]

    def __str__(self) -> str:
        return f"{self.instrument_range} on {self.resistor}"

    @property
    def deviation(self) -> float:
        return self.reading - self.certified_value
