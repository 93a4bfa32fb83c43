"""The sourcing board: requests that members see in the regions they were sent to, and the answers to them."""

from __future__ import annotations

from decimal import Decimal

from babel.numbers import format_currency
from django.conf import settings
from django.db import models
from django.db.models import Case, Exists, F, OuterRef, Q, Value, When
from django.utils import timezone
from django.utils.translation import get_language
from django.utils.translation import gettext_lazy as _

from diagnostics.models import SystemFamily
from network.models import Membership, Region, Workshop
from parts.currencies import decimals_of
from parts.numbers import normalise

NEWEST_FIRST = ("-asked_at", "-pk")
LONGEST_NUMBER = 40


class PartRequestQuerySet(models.QuerySet["PartRequest"]):
    def visible_to(self, membership: Membership) -> PartRequestQuerySet:
        """Drops requests of others that were not sent to the member's region, or whose asker is no longer approved."""
        sent_here = PartRequest.regions.through.objects.filter(
            partrequest=OuterRef("pk"), region=membership.workshop.region_id
        )
        return self.filter(
            Q(asked_by_workshop=membership.workshop_id)
            | Q(Exists(sent_here), asked_by_workshop__state=Workshop.State.APPROVED)
        )

    def open(self) -> PartRequestQuerySet:
        """Drops those that are settled or withdrawn, and those of workshops that are no longer approved."""
        return self.filter(state=PartRequest.State.OPEN, asked_by_workshop__state=Workshop.State.APPROVED)

    def of_others(self, membership: Membership) -> PartRequestQuerySet:
        return self.exclude(asked_by_workshop=membership.workshop_id)

    def mine(self, membership: Membership) -> PartRequestQuerySet:
        return self.filter(asked_by_workshop=membership.workshop_id)

    def answered_by(self, membership: Membership) -> PartRequestQuerySet:
        """Drops those that the member's workshop has no answer to, or whose answer it took back."""
        return self.filter(Exists(Answer.objects.of_workshop(membership).filter(request=OuterRef("pk"))))

    def unanswered_by(self, membership: Membership) -> PartRequestQuerySet:
        """Drops those that the member's workshop has answered."""
        return self.exclude(Exists(Answer.objects.of_workshop(membership).filter(request=OuterRef("pk"))))

    def about(self, text: str) -> PartRequestQuerySet:
        """Drops those whose number does not contain the text, and whose description doesn't either.

        Exactly this number comes first, then those that begin with it, then those that contain it.
        """
        number = normalise(number=text)
        if not number:
            return self.filter(description__icontains=text).annotate(rank=Value(3)).order_by(*NEWEST_FIRST)
        rank = Case(
            When(normalised=number, then=0),
            When(normalised__startswith=number, then=1),
            When(normalised__contains=number, then=2),
            default=3,
        )
        found = self.filter(Q(normalised__contains=number) | Q(description__icontains=text))
        return found.annotate(rank=rank).order_by("rank", *NEWEST_FIRST)


class PartRequest(models.Model):
    class State(models.TextChoices):
        OPEN = "open", _("waiting for answers")
        ACCEPTED = "accepted", _("answer accepted, on its way")
        RECEIVED = "received", _("received and looked at")
        WITHDRAWN = "withdrawn", _("withdrawn")

    asked_by_workshop = models.ForeignKey(Workshop, on_delete=models.PROTECT, related_name="+")
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    asked_at = models.DateTimeField(default=timezone.now)
    number = models.CharField(_("part number, as printed"), max_length=LONGEST_NUMBER)
    normalised = models.CharField(max_length=LONGEST_NUMBER, db_index=True, editable=False)
    description = models.CharField(_("what it is"), max_length=120)
    family = models.ForeignKey(
        SystemFamily, on_delete=models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("system family")
    )
    quantity = models.PositiveSmallIntegerField(_("how many pieces"), default=1)
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
        ordering = list(NEWEST_FIRST)
        constraints = [
            models.CheckConstraint(condition=Q(quantity__gt=0), name="request_for_at_least_one"),
            models.CheckConstraint(
                condition=Q(
                    state="received",
                    received_at__isnull=False,
                    received_by__isnull=False,
                    number_as_ordered__isnull=False,
                    marks_as_ordered__isnull=False,
                )
                | (
                    ~Q(state="received")
                    & Q(
                        received_at__isnull=True,
                        received_by__isnull=True,
                        number_as_ordered__isnull=True,
                        marks_as_ordered__isnull=True,
                    )
                ),
                name="receipt_says_what_was_seen",
            ),
            models.CheckConstraint(
                condition=~Q(state="received")
                | Q(number_as_ordered=True, marks_as_ordered=True)
                | ~Q(receipt_remark=""),
                name="receipt_not_as_ordered_says_what",
            ),
            models.CheckConstraint(condition=~Q(normalised=""), name="request_number_has_signs"),
        ]
        indexes = [models.Index(fields=["-asked_at"], condition=Q(state="open"), name="request_open")]

    def __str__(self) -> str:
        return f"{self.number}, {self.description}"

    @property
    def reference(self) -> str:
        """What people call it in talk: year, month, and its number in the network."""
        return f"{timezone.localtime(self.asked_at):%y%m}-R{self.pk:02d}"

    @property
    def received_as_ordered(self) -> bool:
        """Received, and both the number and the revision marks are those that were ordered."""
        return self.state == self.State.RECEIVED and bool(self.number_as_ordered and self.marks_as_ordered)


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

    def by_cost(self, currency: str) -> AnswerQuerySet:
        """Cheapest with freight first; what is priced in another currency can't be compared and comes last."""
        return self.annotate(foreign=~Q(currency=currency), total=F("price") + F("freight")).order_by(
            "foreign", "total", "days_to_arrive", "pk"
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
