"""Estimates of a job in versions, what the owner answered to each, and what was really used in the end.

Money is kept in whole minor units of the currency (ISO 4217: cents of a euro, whole yen), so that no row can hold a
fraction of one. A draft is written by the workshop; once sent, a version and its lines never change.
"""

from __future__ import annotations

import datetime
from decimal import Decimal
from typing import Any, ClassVar

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from jobs.models.jobs import Job
from network.access import PrivateManager as _PrivateManager
from network.access import PrivateModel, PrivateQuerySet
from parts.currencies import decimals_of

MOST_OF_ONE_PRICE = 10**10  # minor units; a price beyond it is a slip of the pen


class EstimateQuerySet(PrivateQuerySet):
    def shown(self) -> EstimateQuerySet:
        """What the owner was sent, in order. Drops drafts."""
        return self.exclude(state=Estimate.State.DRAFT).order_by("number")

    def answerable(self) -> EstimateQuerySet:
        """Drops what isn't with the owner, and what has lapsed."""
        return self.filter(state=Estimate.State.SENT, holds_until__gte=timezone.localdate())

    def lapsed_untold(self, day: datetime.date) -> EstimateQuerySet:
        """Drops what still holds or was answered, what was told of already, and the cars that are gone."""
        untold = self.filter(state=Estimate.State.SENT, holds_until__lt=day, lapse_told_at__isnull=True)
        return untold.filter(job__handed_over_at__isnull=True)


class EstimateManager(_PrivateManager.from_queryset(EstimateQuerySet)):  # type: ignore[misc]
    """The acting workshop's estimates."""


class Estimate(PrivateModel):
    """One version: what the workshop means to do, at what price, until when it holds."""

    class State(models.TextChoices):
        DRAFT = "draft", _("draft, the owner hasn’t seen it")
        SENT = "sent", _("waits for the owner")
        AGREED = "agreed", _("the owner agreed")
        DECLINED = "declined", _("the owner declined")
        REPLACED = "replaced", _("replaced by a later version")
        TAKEN_BACK = "taken_back", _("taken back by the workshop")

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="estimates")
    number = models.PositiveSmallIntegerField(_("version"))
    state = models.CharField(max_length=10, choices=State, default=State.DRAFT)
    currency = models.CharField(max_length=3)
    words = models.TextField(_("for the owner, in plain words"), max_length=2000, blank=True)
    holds_until = models.DateField(_("holds until"))
    edit = models.PositiveIntegerField(default=0, editable=False)  # of the draft, for two who write at it
    total = models.BigIntegerField(null=True)  # with tax, minor units; frozen when it is sent
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(default=timezone.now)
    sent_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    sent_at = models.DateTimeField(null=True)
    lapse_told_at = models.DateTimeField(null=True, editable=False)

    objects: ClassVar[Any] = EstimateManager()

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["job", "number"]
        constraints = [
            models.UniqueConstraint(fields=["job", "number"], name="estimate_version_once"),
            models.UniqueConstraint(fields=["job"], condition=Q(state="draft"), name="one_draft_a_job"),
            models.UniqueConstraint(fields=["job"], condition=Q(state="sent"), name="one_estimate_waits"),
            models.CheckConstraint(
                condition=Q(state="draft", sent_at__isnull=True, sent_by__isnull=True, total__isnull=True)
                | (
                    ~Q(state="draft")
                    & Q(sent_at__isnull=False, sent_by__isnull=False, total__isnull=False, total__gte=0)
                ),
                name="estimate_sent_with_its_total",
            ),
        ]

    def __str__(self) -> str:
        return str(self.number)

    @property
    def decimals(self) -> int:
        return decimals_of(self.currency)

    @property
    def amount(self) -> Decimal:
        """The total with tax, in the currency's major unit."""
        return in_major(self.total or 0, self.currency)

    @property
    def lapsed(self) -> bool:
        return self.state == self.State.SENT and self.holds_until < timezone.localdate()

    @property
    def waits(self) -> bool:
        """The owner may still answer."""
        return self.state == self.State.SENT and not self.lapsed


def in_major(minor: int, currency: str) -> Decimal:
    """Minor units as an amount: 118938 of EUR are 1189.38, of JPY 118938."""
    return Decimal(minor).scaleb(-decimals_of(currency))


class PricedLine(PrivateModel):
    """Hours at a rate, pieces of a part at a price, or something else."""

    class Kind(models.TextChoices):
        LABOUR = "labour", _("labour")
        PART = "part", _("part")
        OTHER = "other", _("other")

    position = models.PositiveSmallIntegerField()
    kind = models.CharField(max_length=6, choices=Kind)
    words = models.CharField(max_length=160)
    part_number = models.CharField(max_length=40, blank=True)
    quantity = models.DecimalField(max_digits=8, decimal_places=3)  # hours of labour, else pieces
    price = models.BigIntegerField()  # of one, without tax, minor units
    tax_percent = models.DecimalField(max_digits=5, decimal_places=2)

    class Meta(PrivateModel.Meta):
        abstract = True
        ordering = ["position"]
        constraints = [
            models.CheckConstraint(condition=Q(quantity__gt=0), name="%(class)s_quantity_above_nought"),
            models.CheckConstraint(
                condition=Q(price__gte=0) | Q(kind="other", price__lt=0), name="%(class)s_only_other_below_nought"
            ),
            models.CheckConstraint(
                condition=Q(price__gte=-MOST_OF_ONE_PRICE, price__lte=MOST_OF_ONE_PRICE),
                name="%(class)s_price_readable",
            ),
            models.CheckConstraint(
                condition=Q(tax_percent__gte=0, tax_percent__lte=100), name="%(class)s_tax_is_a_share"
            ),
        ]

    def __str__(self) -> str:
        return self.words


class EstimateLine(PricedLine):
    estimate = models.ForeignKey(Estimate, on_delete=models.CASCADE, related_name="lines")

    class Meta(PricedLine.Meta):
        abstract = False


class UsedLine(PricedLine):
    """What was really done and fitted, for the workshop's own invoice; the whole list is written anew each time."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="used_lines")
    currency = models.CharField(max_length=3)
    noted_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    noted_at = models.DateTimeField(default=timezone.now)

    class Meta(PricedLine.Meta):
        abstract = False


class EstimateAnswer(PrivateModel):
    """What the owner said to one version: the name that was typed, and the whole text that was agreed to or declined.

    Written once. `digest` is the SHA-256 of `text`, as the owner's page and the workshop's both show it.
    """

    estimate = models.OneToOneField(Estimate, on_delete=models.PROTECT, related_name="answer")
    agreed = models.BooleanField()
    name = models.CharField(_("name"), max_length=120)
    reason = models.CharField(_("why not"), max_length=500, blank=True)
    text = models.TextField()
    digest = models.CharField(max_length=64)
    said_at = models.DateTimeField(default=timezone.now)

    class Meta(PrivateModel.Meta):
        abstract = False
        constraints = [models.CheckConstraint(condition=~Q(name="") & ~Q(text=""), name="answer_has_name_and_text")]

    def __str__(self) -> str:
        return self.name
