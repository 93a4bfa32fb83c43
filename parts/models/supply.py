"""What a region's trade says of a number, on the day on which somebody asked. It ages, and the page says so."""

from __future__ import annotations

import datetime

from django.conf import settings
from django.db import models
from django.db.models import F, Window
from django.db.models.functions import RowNumber
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from network.models import Region, Workshop
from parts.models.numbers import PartNumber

# Common practice, no source: what a counter said a month ago may still be so; after half a year, ask again.
FRESH_DAYS = 30
OLD_DAYS = 180


class SupplyReportQuerySet(models.QuerySet["SupplyReport"]):
    def newest(self) -> SupplyReportQuerySet:
        """Drops all but the newest word of each region on each number: by the day it was seen, then as entered."""
        place = Window(
            RowNumber(), partition_by=[F("part_number"), F("region")], order_by=[F("seen_on").desc(), F("pk").desc()]
        )
        return self.annotate(place=place).filter(place=1)


class SupplyReport(models.Model):
    """Never changed: who asks again adds a new one."""

    class Standing(models.TextChoices):
        AVAILABLE = "available", _("available")
        BACK_ORDERED = "back-ordered", _("back-ordered")
        WITHDRAWN = "withdrawn", _("withdrawn")
        REFUSED = "refused", _("refused to independents")
        UNKNOWN = "unknown", _("not known")

    class Age(models.TextChoices):
        FRESH = "fresh", _("fresh")
        AGEING = "ageing", _("ageing")
        OLD = "old", _("old, ask again")

    part_number = models.ForeignKey(PartNumber, on_delete=models.PROTECT, related_name="supply")
    region = models.ForeignKey(Region, on_delete=models.PROTECT, related_name="+", verbose_name=_("region"))
    standing = models.CharField(_("what the trade says"), max_length=12, choices=Standing)
    seen_on = models.DateField(_("seen on"))
    source = models.CharField(_("seen where"), max_length=120)
    remark = models.CharField(_("remark"), max_length=200, blank=True)
    seen_by_workshop = models.ForeignKey(Workshop, on_delete=models.PROTECT, related_name="+")
    seen_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    entered_at = models.DateTimeField(auto_now_add=True)

    objects = SupplyReportQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["part_number", "region", "-seen_on"], name="supply_newest")]

    def __str__(self) -> str:
        return f"{self.part_number} in {self.region}: {self.standing}"

    @property
    def days_old(self) -> int:
        return (timezone.localdate() - self.seen_on) // datetime.timedelta(days=1)

    @property
    def age(self) -> Age:
        if self.days_old <= FRESH_DAYS:
            return self.Age.FRESH
        return self.Age.AGEING if self.days_old <= OLD_DAYS else self.Age.OLD
