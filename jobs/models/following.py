"""How repairs are followed: the workshop's own day of the repair, the dates on which it is asked, and what it said.

All of it is private. Members see only what `jobs/following.py` makes of it on the shared outcome: completed months,
and how the following ended.
"""

from __future__ import annotations

import datetime
from typing import Any, ClassVar

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from jobs.models.outcomes import Outcome
from network.access import PrivateManager, PrivateModel, PrivateQuerySet


class FollowedRepair(PrivateModel):
    """A repair whose outcome was shared. The exact day stays here: it would help to find the car."""

    outcome = models.OneToOneField(Outcome, on_delete=models.PROTECT, related_name="+")
    repaired_on = models.DateField(_("day of the handover"))
    known_as = models.CharField(_("what you call this repair"), max_length=60)

    class Meta(PrivateModel.Meta):
        abstract = False

    def __str__(self) -> str:
        return self.known_as


class FollowUpQuerySet(PrivateQuerySet):
    def due(self, on: datetime.date) -> FollowUpQuerySet:
        """Dates that have come and were neither asked nor missed. Drops outcomes whose following has ended."""
        followed = Q(repair__outcome__taken_back_at__isnull=True, repair__outcome__taken_down_at__isnull=True)
        return self.filter(
            followed, due_on__lte=on, asked_at__isnull=True, missed=False, answer="", repair__outcome__ended_as=""
        )

    def waiting(self) -> FollowUpQuerySet:
        """Asked and not yet answered. Drops outcomes whose following has ended, and all but the last date asked."""
        later = FollowUp.objects.filter(
            repair=models.OuterRef("repair"), asked_at__isnull=False, month__gt=models.OuterRef("month")
        )
        return self.filter(
            ~models.Exists(later),
            asked_at__isnull=False,
            answer="",
            repair__outcome__ended_as="",
            repair__outcome__taken_back_at__isnull=True,
            repair__outcome__taken_down_at__isnull=True,
        )

    def said(self) -> FollowUpQuerySet:
        """Drops dates to which nothing was said."""
        return self.exclude(answer="")


class FollowUpManager(PrivateManager.from_queryset(FollowUpQuerySet)):  # type: ignore[misc]
    """The acting workshop's dates and answers."""


class FollowUp(PrivateModel):
    """One date on which a workshop is asked (`month` after the repair), or what it said without being asked."""

    class Answer(models.TextChoices):
        STILL_RUNS = "still_runs", _("it still runs")
        SAME_FAULT = "same_fault", _("the same fault came back")
        RELATED = "related", _("a related fault came up")
        UNRELATED = "unrelated", _("something unrelated failed")
        SOLD = "sold", _("the car was sold")
        SCRAPPED = "scrapped", _("the car was scrapped")
        DONT_KNOW = "dont_know", _("we don’t know")

    repair = models.ForeignKey(FollowedRepair, on_delete=models.PROTECT, related_name="follow_ups")
    month = models.PositiveSmallIntegerField(null=True)
    due_on = models.DateField(null=True)
    asked_at = models.DateTimeField(null=True)
    missed = models.BooleanField(default=False)  # a later date was asked in its place
    answer = models.CharField(max_length=10, choices=Answer, blank=True)
    seen_on = models.DateField(null=True)
    odometer_km = models.PositiveIntegerField(null=True)
    answered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    answered_at = models.DateTimeField(null=True)

    objects: ClassVar[Any] = FollowUpManager()

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["seen_on", "due_on", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["repair", "month"], name="asked_once_a_date"),
            models.CheckConstraint(
                condition=Q(answer="", seen_on__isnull=True, answered_by__isnull=True, answered_at__isnull=True)
                | (~Q(answer="") & Q(seen_on__isnull=False, answered_by__isnull=False, answered_at__isnull=False)),
                name="follow_up_says_who_and_when",
            ),
            models.CheckConstraint(condition=Q(missed=False) | Q(asked_at__isnull=True), name="missed_is_not_asked"),
        ]
        indexes = [
            models.Index(
                fields=["workshop", "due_on"], condition=Q(asked_at__isnull=True, missed=False), name="follow_up_due"
            )
        ]

    def __str__(self) -> str:
        return self.get_answer_display() or f"month {self.month}"
