"""What members offer in answer to a request: at what price, in what condition, and which answer was accepted."""

from __future__ import annotations

from decimal import Decimal

from babel.numbers import format_currency
from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import get_language
from django.utils.translation import gettext_lazy as _

from network.models import Membership, Workshop
from parts.currencies import decimals_of


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
        CAN_BE_REPAIRED = "can_be_repaired", _("It can be repaired")

    class Condition(models.TextChoices):
        NEW = "new", _("new")
        NEW_OLD_STOCK = "new_old_stock", _("new, old stock")
        USED = "used", _("used")
        REBUILT = "rebuilt", _("rebuilt")

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
    price = models.DecimalField(_("price"), max_digits=10, decimal_places=3)
    freight = models.DecimalField(_("freight and packing"), max_digits=10, decimal_places=3, default=Decimal(0))
    currency = models.CharField(_("currency"), max_length=3)
    condition = models.CharField(_("condition"), max_length=13, choices=Condition)
    days_to_arrive = models.PositiveSmallIntegerField(_("days until it arrives"))
    marks = models.CharField(_("revision marks on it"), max_length=200, blank=True)
    remark = models.TextField(_("remark"), max_length=1000, blank=True)
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
            models.CheckConstraint(condition=Q(price__gte=0, freight__gte=0), name="answer_costs_not_negative"),
        ]

    def __str__(self) -> str:
        return f"{self.workshop}: {self.price} {self.currency}"

    @property
    def cost(self) -> Decimal:
        """Price with freight."""
        return self.price + self.freight

    @property
    def decimals(self) -> int:
        """As many as the currency has in use: two for the euro, none for the yen."""
        return decimals_of(self.currency)

    @property
    def price_words(self) -> str:
        """The price as people write it, in the minor units of its currency."""
        return format_currency(self.price, self.currency, locale=get_language() or "en")

    @property
    def freight_words(self) -> str:
        return format_currency(self.freight, self.currency, locale=get_language() or "en")
