"""What members ask for on the sourcing board, each seen in the regions it was sent to."""

from __future__ import annotations

import datetime

from django.conf import settings
from django.db import models
from django.db.models import Case, Exists, OuterRef, Q, Value, When
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from diagnostics.models import SystemFamily
from diagnostics.part_kinds import PartKind
from network.models import Membership, Region, SharedPicture, Workshop
from parts.models.answers import Answer
from parts.models.numbers import PartNumber
from parts.numbers import LONGEST_NUMBER, normalise

NEWEST_FIRST = ("-asked_at", "-pk")
LASTS = datetime.timedelta(days=30)  # an open request lapses then, unless it is prolonged


def _in_a_month() -> datetime.date:
    return timezone.localdate() + LASTS


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
        # A list that is read once, not a look for each request: few of the network's answers are one workshop's.
        return self.exclude(pk__in=Answer.objects.of_workshop(membership).values("request"))

    def for_family(self, family: int) -> PartRequestQuerySet:
        """Drops those for other cars: named for another system family, or for none and of a number that doesn't fit."""
        fitting = PartNumber.objects.filter(families=family).values("normalised")
        return self.filter(Q(family=family) | Q(family__isnull=True, normalised__in=fitting))

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
        LAPSED = "lapsed", _("lapsed")

    asked_by_workshop = models.ForeignKey(Workshop, on_delete=models.PROTECT, related_name="+")
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    asked_at = models.DateTimeField(default=timezone.now)
    number = models.CharField(_("part number, as printed"), max_length=LONGEST_NUMBER, blank=True)
    normalised = models.CharField(max_length=LONGEST_NUMBER, db_index=True, blank=True, editable=False)
    description = models.CharField(_("what it is"), max_length=120)
    part_kind = models.CharField(_("kind of part"), max_length=20, choices=PartKind, blank=True)
    family = models.ForeignKey(
        SystemFamily, on_delete=models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("system family")
    )
    quantity = models.PositiveSmallIntegerField(_("how many pieces"), default=1)
    needed_by = models.DateField(_("needed by"), null=True, blank=True)
    off_road = models.BooleanField(_("the vehicle is off the road"), default=False)
    marks = models.CharField(_("revision marks to look for"), max_length=200, blank=True)
    remark = models.TextField(_("remark"), max_length=1000, blank=True)
    regions = models.ManyToManyField(Region, verbose_name=_("ask in these regions"), related_name="+")
    pictures = models.ManyToManyField(SharedPicture, related_name="+", blank=True)
    state = models.CharField(max_length=9, choices=State, default=State.OPEN)
    lapses_on = models.DateField(default=_in_a_month, editable=False)
    lapse_told_at = models.DateTimeField(null=True, editable=False)
    received_at = models.DateTimeField(null=True)
    received_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    number_as_ordered = models.BooleanField(null=True)
    marks_as_ordered = models.BooleanField(null=True)
    revision_seen = models.ForeignKey("parts.PartRevision", on_delete=models.PROTECT, null=True, related_name="+")
    damaged = models.BooleanField(null=True)
    arrived_on = models.DateField(null=True)
    as_described = models.BooleanField(null=True)
    receipt_remark = models.TextField(max_length=1000, blank=True)
    receipt_pictures = models.ManyToManyField(SharedPicture, related_name="+", blank=True)

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
                    damaged__isnull=False,
                    arrived_on__isnull=False,
                    as_described__isnull=False,
                )
                | (
                    ~Q(state="received")
                    & Q(
                        received_at__isnull=True,
                        received_by__isnull=True,
                        number_as_ordered__isnull=True,
                        marks_as_ordered__isnull=True,
                        damaged__isnull=True,
                        arrived_on__isnull=True,
                        as_described__isnull=True,
                    )
                ),
                name="receipt_says_what_was_seen",
            ),
            models.CheckConstraint(
                condition=~Q(state="received")
                | Q(number_as_ordered=True, marks_as_ordered=True, damaged=False, as_described=True)
                | ~Q(receipt_remark=""),
                name="receipt_not_as_ordered_says_what",
            ),
            models.CheckConstraint(
                condition=Q(number="", normalised="") | (~Q(number="") & ~Q(normalised="")),
                name="request_number_has_signs",
            ),
            models.CheckConstraint(condition=~Q(description=""), name="request_says_what_it_is"),
        ]
        indexes = [models.Index(fields=["-asked_at"], condition=Q(state="open"), name="request_open")]

    def __str__(self) -> str:
        return f"{self.number}, {self.description}" if self.number else self.description

    @property
    def name(self) -> str:
        """What it is called in a sentence: its number, or what it is where no number is known."""
        return self.number or self.description

    @property
    def reference(self) -> str:
        """What people call it in talk: year, month, and its number in the network."""
        return f"{timezone.localtime(self.asked_at):%y%m}-R{self.pk:02d}"

    @property
    def received_as_ordered(self) -> bool:
        """Received undamaged, and both the number and the revision marks are those that were ordered."""
        return self.state == self.State.RECEIVED and self.finding == "as_ordered"

    @property
    def finding(self) -> str:
        """What the receipt found, the gravest first: wrong, other_revision, damaged or as_ordered; empty before it."""
        if self.received_at is None:
            return ""
        if not self.number_as_ordered:
            return "wrong"
        if not self.marks_as_ordered:
            return "other_revision"
        return "damaged" if self.damaged else "as_ordered"
