"""Reference readings: the figures of a record that a workshop shared, without the car; a frozen copy.

There is no way from here to the record: the record points at what was shared of it, and the record is private
(`diagnostics/reference_readings.py` makes it, and compares with it).
"""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from diagnostics.models.families import SystemFamily
from diagnostics.models.shared import Shared


class SharedFigures(Shared):
    """One record's figures, and how the part turned out."""

    class Turned(models.TextChoices):
        SOUND = "sound", _("sound: it runs, and nothing was wrong with this part")
        FAILED = "failed", _("failed later, or was found to be the cause")

    class Mileage(models.TextChoices):
        """To the next 50 000 km: enough to compare, too coarse to find a car by."""

        UNKNOWN = "", _("not known, or a part on the bench")
        FROM_0 = "0", _("up to 50 thousand km")
        FROM_50 = "50", _("50 to 100 thousand km")
        FROM_100 = "100", _("100 to 150 thousand km")
        FROM_150 = "150", _("150 to 200 thousand km")
        FROM_200 = "200", _("200 to 250 thousand km")
        FROM_250 = "250", _("over 250 thousand km")

        @classmethod
        def of(cls, km: int | None) -> SharedFigures.Mileage:
            """The band that this many kilometres lie in."""
            if km is None:
                return cls.UNKNOWN
            return cls(str(min(km // 50_000 * 50, 250)))

    family = models.ForeignKey(SystemFamily, on_delete=models.PROTECT, related_name="+")
    kind = models.CharField(max_length=40)
    temperature_c = models.FloatField(null=True)
    mileage = models.CharField(_("mileage"), max_length=3, choices=Mileage, blank=True)
    turned = models.CharField(_("the part turned out"), max_length=6, choices=Turned)

    class Meta(Shared.Meta):
        abstract = False
        indexes = [
            models.Index(
                fields=["family", "kind"], condition=Q(taken_back_at__isnull=True), name="shared_figures_shown"
            )
        ]

    def __str__(self) -> str:
        return f"{self.family}, {self.kind}"


class ReferenceReading(models.Model):
    """One quantity of shared figures: the corrected value, or the figure of a bound."""

    figures = models.ForeignKey(SharedFigures, on_delete=models.PROTECT, related_name="readings")
    quantity = models.CharField(max_length=60)
    value = models.FloatField()
    uncertainty = models.FloatField(null=True)
    unit = models.CharField(max_length=20)
    bound = models.CharField(max_length=8, blank=True)

    class Meta:
        ordering = ["figures", "pk"]
        constraints = [models.UniqueConstraint(fields=["figures", "quantity"], name="reference_quantity_once")]

    def __str__(self) -> str:
        return f"{self.quantity} {self.value:g} {self.unit}"
