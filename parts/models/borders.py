"""What crossing a border of customs costs: dated rates by pair of countries, each with its source."""

from __future__ import annotations

import datetime
from decimal import Decimal

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from network.models import Event, User


class BorderRateQuerySet(models.QuerySet["BorderRate"]):
    def between(self, from_country: str, into_country: str, on: datetime.date) -> BorderRate | None:
        """What is in force on that day: the pair itself before "from anywhere", the newest date before older ones."""
        valid = self.filter(into_country=into_country, from_country__in=(from_country, ""), valid_from__lte=on)
        return valid.order_by("-from_country", "-valid_from", "-pk").first()


class BorderRate(models.Model):
    """Never changed: a new rate, or a correction, is a new row that goes before the older one from its date on."""

    from_country = models.CharField(
        _("from the country"), max_length=2, blank=True, help_text=_("empty: from any country without a row of its own")
    )
    into_country = models.CharField(_("into the country"), max_length=2)
    duty_percent = models.DecimalField(_("duty"), max_digits=6, decimal_places=3)
    tax_percent = models.DecimalField(_("import tax"), max_digits=6, decimal_places=3)
    carriage_in_value = models.BooleanField(_("the customs value includes carriage to the border"), default=True)
    uplift_percent = models.DecimalField(
        _("added to the customs value for the tax"), max_digits=6, decimal_places=3, default=Decimal(0)
    )
    fee = models.DecimalField(_("fee for clearing a parcel"), max_digits=10, decimal_places=3, default=Decimal(0))
    fee_taxed = models.BooleanField(_("the import tax is taken of the fee as well"), default=False)
    duty_free_up_to = models.DecimalField(
        _("no duty on goods worth up to"), max_digits=10, decimal_places=3, default=Decimal(0)
    )
    currency = models.CharField(_("currency of the amounts"), max_length=3)
    tax_reclaimed = models.BooleanField(_("a registered workshop gets the import tax back"), default=False)
    valid_from = models.DateField(_("valid from"))
    source = models.CharField(_("source"), max_length=200)
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    entered_at = models.DateTimeField(default=timezone.now)

    objects = BorderRateQuerySet.as_manager()

    class Meta:
        ordering = ["into_country", "from_country", "-valid_from", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(
                    duty_percent__gte=0, tax_percent__gte=0, uplift_percent__gte=0, fee__gte=0, duty_free_up_to__gte=0
                ),
                name="border_rates_not_negative",
            ),
            models.CheckConstraint(condition=~Q(source=""), name="border_rate_names_its_source"),
        ]
        indexes = [models.Index(fields=["into_country", "-valid_from"], name="border_rate_in_force")]

    def __str__(self) -> str:
        return f"{self.from_country or '*'} > {self.into_country}, {self.valid_from}"

    def enter(self, *, by: User) -> BorderRate:
        """An administrator enters it; it binds every comparison from its date on."""
        self.entered_by = by
        self.save()
        Event.record("border_rate_entered", self, by=by, into=self.into_country, valid_from=str(self.valid_from))
        return self
