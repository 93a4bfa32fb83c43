"""The sourcing board: requests that members see in the regions they were sent to, and the answers to them."""

from __future__ import annotations

from decimal import Decimal

from babel.numbers import format_currency
from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils import timezone
from django.utils.translation import get_language
from django.utils.translation import gettext_lazy as _

from diagnostics.models import SystemFamily
from network.models import Membership, Region, Workshop
from parts.numbers import normalise


class PartRequestQuerySet(models.QuerySet["PartRequest"]):
    def visible_to(self, membership: Membership) -> PartRequestQuerySet:
        """Drops requests of other workshops that were not sent to the member's region."""
        return self.filter(
            Q(asked_by_workshop=membership.workshop_id) | Q(regions=membership.workshop.region_id)
        ).distinct()

    def open(self) -> PartRequestQuerySet:
        """Drops those that are settled or withdrawn, and those of workshops that are no longer approved."""
        return self.filter(state=PartRequest.State.OPEN, asked_by_workshop__state=Workshop.State.APPROVED)

    def of_others(self, membership: Membership) -> PartRequestQuerySet:
        return self.exclude(asked_by_workshop=membership.workshop_id)

    def mine(self, membership: Membership) -> PartRequestQuerySet:
        return self.filter(asked_by_workshop=membership.workshop_id)

    def about(self, text: str) -> PartRequestQuerySet:
        """Drops those whose number does not contain the text, and whose description doesn't either."""
        number = normalise(number=text)
        by_number = Q(normalised__contains=number) if number else Q(pk__in=[])
        return self.filter(by_number | Q(description__icontains=text))


class PartRequest(models.Model):
    class State(models.TextChoices):
        OPEN = "open", _("waiting for answers")
        ACCEPTED = "accepted", _("answer accepted, on its way")
        RECEIVED = "received", _("received and looked at")
        WITHDRAWN = "withdrawn", _("withdrawn")

    asked_by_workshop = models.ForeignKey(Workshop, on_delete=models.PROTECT, related_name="+")
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    asked_at = models.DateTimeField(default=timezone.now)
    number = models.CharField(_("part number, as printed"), max_length=40)
    normalised = models.CharField(max_length=40, db_index=True, editable=False)
    description = models.CharField(_("what it is"), max_length=120)
    family = models.ForeignKey(
        SystemFamily, on_delete=models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("system family")
    )
    quantity = models.PositiveSmallIntegerField(_("how many"), default=1)
    needed_by = models.DateField(_("needed by"), null=True, blank=True)
    off_road = models.BooleanField(_("the vehicle is off the road"), default=False)
    marks = models.CharField(_("revision marks to look for"), max_length=200, blank=True)
    remark = models.TextField(_("remark"), max_length=1000, blank=True)
    regions = models.ManyToManyField(Region, verbose_name=_("ask in these regions"), related_name="+")
    state = models.CharField(max_length=9, choices=State, default=State.OPEN)
    received_at = models.DateTimeField(null=True)
    received_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    number_as_ordered = models.BooleanField(null=True)
    marks_as_ordered = models.BooleanField(null=True)
    receipt_remark = models.TextField(max_length=1000, blank=True)

    objects = PartRequestQuerySet.as_manager()

    class Meta:
        ordering = ["-asked_at", "-pk"]
        constraints = [
            models.CheckConstraint(condition=Q(quantity__gt=0), name="request_for_at_least_one"),
            models.CheckConstraint(
                condition=~Q(state="received")
                | Q(received_at__isnull=False, number_as_ordered__isnull=False, marks_as_ordered__isnull=False),
                name="receipt_says_what_was_seen",
            ),
        ]
        indexes = [models.Index(fields=["-asked_at"], condition=Q(state="open"), name="request_open")]

    def __str__(self) -> str:
        return f"{self.number}, {self.description}"

    @property
    def received_as_ordered(self) -> bool:
        """Received, and both the number and the revision marks are those that were ordered."""
        return self.state == self.State.RECEIVED and bool(self.number_as_ordered and self.marks_as_ordered)


class AnswerQuerySet(models.QuerySet["Answer"]):
    def visible_to(self, membership: Membership) -> AnswerQuerySet:
        """Whoever asked sees every answer; whoever answers sees only their own."""
        return self.filter(Q(request__asked_by_workshop=membership.workshop_id) | Q(workshop=membership.workshop_id))

    def by_cost(self, currency: str) -> AnswerQuerySet:
        """Cheapest with freight first; what is priced in another currency can't be compared and comes last."""
        return self.annotate(foreign=~Q(currency=currency), total=F("price") + F("freight")).order_by(
            "foreign", "total", "days_to_arrive", "pk"
        )


class Answer(models.Model):
    class Offer(models.TextChoices):
        HAVE_ONE = "have_one", _("I have one")
        CAN_GET_ONE = "can_get_one", _("I can get one")
        CAN_BE_REPAIRED = "can_be_repaired", _("it can be repaired")

    class Condition(models.TextChoices):
        NEW = "new", _("new")
        NEW_OLD_STOCK = "new_old_stock", _("new, old stock")
        USED = "used", _("used")
        REBUILT = "rebuilt", _("rebuilt")

    class State(models.TextChoices):
        OFFERED = "offered", _("offered")
        ACCEPTED = "accepted", _("accepted")
        NOT_CHOSEN = "not_chosen", _("another answer was accepted")

    request = models.ForeignKey(PartRequest, on_delete=models.PROTECT, related_name="answers")
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

    objects = AnswerQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["request"], condition=Q(state="accepted"), name="one_accepted_answer"),
            models.UniqueConstraint(fields=["request", "workshop"], name="one_answer_a_workshop"),
            models.CheckConstraint(condition=Q(price__gte=0, freight__gte=0), name="answer_costs_not_negative"),
        ]

    def __str__(self) -> str:
        return f"{self.workshop}: {self.price} {self.currency}"

    @property
    def cost(self) -> Decimal:
        """Price with freight."""
        return self.price + self.freight

    @property
    def price_words(self) -> str:
        """The price as people write it, in the minor units of its currency."""
        return format_currency(self.price, self.currency, locale=get_language() or "en")

    @property
    def freight_words(self) -> str:
        return format_currency(self.freight, self.currency, locale=get_language() or "en")
