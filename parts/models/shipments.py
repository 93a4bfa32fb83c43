"""What travels between two workshops: the part there, the core back; and what became of the deposit."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from parts.models.answers import Answer


class Shipment(models.Model):
    """One way of one accepted answer. The receipt of the part itself stands on the request; the core's stands here."""

    class Way(models.TextChoices):
        PART = "part", _("the part")
        CORE = "core", _("the core, back")

    answer = models.ForeignKey(Answer, on_delete=models.PROTECT, related_name="shipments")
    way = models.CharField(max_length=4, choices=Way)
    sent_on = models.DateField(_("sent on"))
    carrier = models.CharField(_("carrier"), max_length=80)
    tracking = models.CharField(_("tracking number"), max_length=60, blank=True)
    # What the trained shipper decided: a UN number of `carriage.py` or a word of its `CarriedAs`; empty: not asked.
    carried_as = models.CharField(_("carried as"), max_length=10, blank=True)
    sent_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    written_at = models.DateTimeField(default=timezone.now)
    arrived_on = models.DateField(_("arrived on"), null=True)
    as_described = models.BooleanField(_("as described"), null=True)
    remark = models.CharField(_("what was seen"), max_length=500, blank=True)
    looked_at_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["answer", "way"], name="sent_once"),
            models.CheckConstraint(
                condition=Q(arrived_on__isnull=True, as_described__isnull=True, looked_at_by__isnull=True)
                | Q(arrived_on__isnull=False, as_described__isnull=False, looked_at_by__isnull=False, way="core"),
                name="core_looked_at_whole",
            ),
            models.CheckConstraint(
                condition=~Q(as_described=False) | ~Q(remark=""), name="core_not_as_described_says_what"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_way_display()}, {self.sent_on}"


class DepositSettled(models.Model):
    """How much of the deposit was given back. The portal moves no money: both sides read what was settled."""

    answer = models.OneToOneField(Answer, on_delete=models.PROTECT, related_name="settled")
    given_back = models.DecimalField(_("given back"), max_digits=10, decimal_places=3)
    reason = models.CharField(_("why not all of it"), max_length=200, blank=True)
    settled_on = models.DateField(default=timezone.localdate)
    settled_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [models.CheckConstraint(condition=Q(given_back__gte=0), name="deposit_not_negative")]

    def __str__(self) -> str:
        return f"{self.given_back}"
