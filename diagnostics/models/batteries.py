"""A traction battery over the years: since when it is in use, and what was found of it before our own sheets.

What our own sheets found stands in their records; a battery only joins them (`diagnostics/outlook.py`).
"""

from __future__ import annotations

from django.conf import settings
from django.db import models, transaction
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from network.access import PrivateModel
from network.models import Event, Membership


class Battery(PrivateModel):
    """One battery: of a car (the car names it), or known by its serial number alone."""

    serial = models.CharField(_("serial number of the battery"), max_length=60, blank=True)
    in_use_since = models.DateField(
        _("in use since"),
        null=True,
        blank=True,
        help_text=_("First registration of the car, or the day on which this battery was fitted new."),
    )
    km_when_new = models.PositiveIntegerField(
        _("odometer when it was new"), default=0, help_text=_("0, unless the battery was exchanged.")
    )

    class Meta(PrivateModel.Meta):
        abstract = False
        verbose_name_plural = "batteries"
        constraints = [
            models.UniqueConstraint(fields=["workshop", "serial"], condition=~Q(serial=""), name="battery_serial_once")
        ]

    def __str__(self) -> str:
        return self.serial or str(_("battery"))


class EarlierCapacity(PrivateModel):
    """A capacity that was found before, elsewhere or on paper: typed in with its day, mileage and how it was got."""

    class Method(models.TextChoices):
        BENCH = "bench", _("on the bench")
        IN_CAR = "in_car", _("in the car")
        MODULE_ESTIMATE = "module_estimate", _("a module’s own estimate")

    battery = models.ForeignKey(Battery, on_delete=models.PROTECT, related_name="earlier")
    found_on = models.DateField(_("found on"))
    odometer_km = models.PositiveIntegerField(_("odometer"), null=True, blank=True)
    capacity_percent = models.FloatField(_("capacity in percent of rated"))
    method = models.CharField(_("how it was got"), max_length=16, choices=Method)
    words = models.CharField(_("from where: paper, workshop, page"), max_length=200)
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    entered_at = models.DateTimeField(auto_now_add=True)
    taken_out = models.BooleanField(default=False)  # a slip of the keyboard: stays in the file, counts no more

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["found_on", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(capacity_percent__gte=0, capacity_percent__lte=200), name="earlier_capacity_possible"
            )
        ]

    def __str__(self) -> str:
        return f"{self.capacity_percent:g} %"

    @transaction.atomic
    def enter(self, *, by: Membership) -> EarlierCapacity:
        """Keep it, signed by who typed it."""
        self.entered_by = by.person
        self.save()
        Event.record("earlier_capacity_entered", self.battery, by=by.person, workshop=by.workshop, finding=self.pk)
        return self

    @transaction.atomic
    def take_out(self, *, by: Membership) -> bool:
        """It was typed wrongly: it counts no more. False where somebody was first."""
        won = EarlierCapacity.objects.filter(pk=self.pk, taken_out=False).update(taken_out=True)
        if won:
            Event.record(
                "earlier_capacity_taken_out", self.battery, by=by.person, workshop=by.workshop, finding=self.pk
            )
        return bool(won)
