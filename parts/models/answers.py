"""What members offer in answer to a request: at what price, in what condition, and which answer was accepted."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from diagnostics.models import SharedSheet
from diagnostics.summary import written
from network.models import Membership, SharedPicture, Workshop
from parts.currencies import decimals_of
from parts.numbers import LONGEST_NUMBER
from parts.trade_terms import TradeTerms


def _money(name: Any, **more: Any) -> models.DecimalField:
    return models.DecimalField(name, max_digits=10, decimal_places=3, **more)


class AnswerQuerySet(models.QuerySet["Answer"]):
    def visible_to(self, membership: Membership) -> AnswerQuerySet:
        """Whoever asked sees every answer; whoever answers sees only their own."""
        return self.filter(Q(request__asked_by_workshop=membership.workshop_id) | Q(workshop=membership.workshop_id))

    def of_workshop(self, membership: Membership) -> AnswerQuerySet:
        """Drops the answers of other workshops, and what was taken back."""
        return self.filter(workshop=membership.workshop_id).exclude(state=Answer.State.WITHDRAWN)

    def standing(self) -> AnswerQuerySet:
        """Drops what was taken back, and offers of workshops that are no longer approved; what was accepted stays."""
        return self.exclude(state=Answer.State.WITHDRAWN).filter(
            Q(workshop__state=Workshop.State.APPROVED) | Q(state=Answer.State.ACCEPTED)
        )


class Answer(models.Model):
    class Offer(models.TextChoices):
        HAVE_ONE = "have_one", _("I have one")
        CAN_GET_ONE = "can_get_one", _("I can get one")
        REPLACED_BY = "replaced_by", _("It is replaced by")
        CAN_BE_REPAIRED = "can_be_repaired", _("It can be repaired")
        ADVICE = "advice", _("Only advice")

    class Condition(models.TextChoices):
        NEW = "new", _("new")
        NEW_OLD_STOCK = "new_old_stock", _("new, old stock")
        USED = "used", _("used")
        REBUILT = "rebuilt", _("rebuilt")

    class Labour(models.TextChoices):
        NOT_COVERED = "not_covered", _("labour not covered")
        TO_A_SUM = "to_a_sum", _("labour to a sum")
        COVERED = "covered", _("labour covered")

    class WarrantyFreight(models.TextChoices):
        SENDER = "sender", _("whoever sent the part pays the freight")
        RECEIVER = "receiver", _("whoever received the part pays the freight")
        EACH_ONE_WAY = "each_one_way", _("each pays one way")

    class State(models.TextChoices):
        OFFERED = "offered", _("offered")
        ACCEPTED = "accepted", _("accepted")
        NOT_CHOSEN = "not_chosen", _("not chosen")
        WITHDRAWN = "withdrawn", _("taken back")

    request = models.ForeignKey("parts.PartRequest", on_delete=models.PROTECT, related_name="answers")
    workshop = models.ForeignKey(Workshop, on_delete=models.PROTECT, related_name="+")
    answered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    answered_at = models.DateTimeField(default=timezone.now)
    offer = models.CharField(_("your answer"), max_length=15, choices=Offer)
    replacement = models.CharField(_("number that replaced it"), max_length=LONGEST_NUMBER, blank=True)
    price = _money(_("price"), null=True, blank=True)  # None: advice, or only the number that replaced it
    packing = _money(_("packing"), default=Decimal(0))
    freight = _money(_("freight"), default=Decimal(0))
    insurance = _money(_("insurance of the freight"), default=Decimal(0))
    currency = models.CharField(_("currency"), max_length=3)
    trade_terms = models.CharField(_("terms of trade"), max_length=3, choices=TradeTerms, blank=True)
    condition = models.CharField(_("condition"), max_length=13, choices=Condition, blank=True)
    days_to_ship = models.PositiveSmallIntegerField(_("days until it leaves"), default=0)
    days_to_arrive = models.PositiveSmallIntegerField(_("days until it arrives"), default=0)
    marks = models.CharField(_("revision marks on it"), max_length=200, blank=True)
    remark = models.TextField(_("remark"), max_length=1000, blank=True)
    # Evidence: a frozen copy of a bench sheet, where a used part comes from; pictures are copies made for all members.
    sheet = models.ForeignKey(
        SharedSheet, on_delete=models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("bench sheet")
    )
    donor_km = models.PositiveIntegerField(_("mileage of the donor"), null=True, blank=True)
    removal_reason = models.CharField(_("why it was taken out"), max_length=120, blank=True)
    storage = models.CharField(_("how it was stored"), max_length=120, blank=True)
    plate = models.ForeignKey(SharedPicture, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    pictures = models.ManyToManyField(SharedPicture, related_name="+", blank=True)
    # The old unit that goes back: no deposit, no core asked for.
    core_deposit = _money(_("deposit for the core"), null=True, blank=True)
    core_criteria = models.CharField(_("what the core must be like"), max_length=200, blank=True)
    core_days = models.PositiveSmallIntegerField(_("days to send the core back"), null=True, blank=True)
    warranty_months = models.PositiveSmallIntegerField(_("warranty, months"), default=0)
    warranty_km = models.PositiveIntegerField(_("warranty, at most"), null=True, blank=True)
    warranty_labour = models.CharField(_("labour"), max_length=11, choices=Labour, default=Labour.NOT_COVERED)
    warranty_labour_limit = _money(_("labour to the sum of"), null=True, blank=True)
    warranty_freight = models.CharField(
        _("freight of a claim"), max_length=12, choices=WarrantyFreight, default=WarrantyFreight.EACH_ONE_WAY
    )
    warranty_exclusions = models.CharField(_("what the warranty excludes"), max_length=200, blank=True)
    warranty_decided_by = models.CharField(_("who decides a dispute"), max_length=120, blank=True)
    state = models.CharField(max_length=10, choices=State, default=State.OFFERED)
    accepted_at = models.DateTimeField(null=True)
    accepted_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    objects = AnswerQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["request"], condition=Q(state="accepted"), name="one_accepted_answer"),
            models.UniqueConstraint(
                fields=["request", "workshop"], condition=~Q(state="withdrawn"), name="one_answer_a_workshop"
            ),
            models.CheckConstraint(
                condition=Q(state="accepted", accepted_at__isnull=False, accepted_by__isnull=False)
                | (~Q(state="accepted") & Q(accepted_at__isnull=True, accepted_by__isnull=True)),
                name="accepted_names_who_and_when",
            ),
            models.CheckConstraint(
                condition=Q(packing__gte=0, freight__gte=0, insurance__gte=0)
                & (Q(price__isnull=True) | Q(price__gte=0))
                & (Q(core_deposit__isnull=True) | Q(core_deposit__gte=0)),
                name="answer_costs_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(offer="advice", price__isnull=True)
                | Q(offer="replaced_by")
                | (~Q(offer__in=("advice", "replaced_by")) & Q(price__isnull=False)),
                name="answer_has_a_price",
            ),
            models.CheckConstraint(condition=~Q(state="accepted") | Q(price__isnull=False), name="accepted_has_price"),
            models.CheckConstraint(condition=Q(price__isnull=True) | ~Q(condition=""), name="offer_names_condition"),
            models.CheckConstraint(
                condition=~Q(offer="replaced_by") | ~Q(replacement=""), name="replaced_by_names_the_number"
            ),
            models.CheckConstraint(
                condition=Q(core_deposit__isnull=True) | (~Q(core_criteria="") & Q(core_days__isnull=False)),
                name="core_names_criteria_and_deadline",
            ),
            models.CheckConstraint(condition=Q(days_to_ship__lte=F("days_to_arrive")), name="leaves_before_it_arrives"),
        ]

    def __str__(self) -> str:
        return f"{self.workshop}: {self.get_offer_display()}"

    @property
    def can_be_accepted(self) -> bool:
        """There is something to order: a price was named."""
        return self.price is not None

    @property
    def cost(self) -> Decimal:
        """Price with carriage, in its own currency."""
        return (self.price or Decimal(0)) + self.carriage

    @property
    def carriage(self) -> Decimal:
        """Packing, freight and insurance."""
        return self.packing + self.freight + self.insurance

    @property
    def decimals(self) -> int:
        """As many as the currency has in use: two for the euro, none for the yen."""
        return decimals_of(self.currency)

    @property
    def price_words(self) -> str:
        """The price as people write it, in the minor units of its currency."""
        return self.in_words(self.price or Decimal(0))

    @property
    def carriage_words(self) -> str:
        return self.in_words(self.carriage)

    def in_words(self, amount: Decimal) -> str:
        return f"{written(amount, self.decimals)} {self.currency}"
