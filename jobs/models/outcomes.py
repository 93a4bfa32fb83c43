"""Outcomes: what a workshop shares of a finished job so that nobody repeats a repair that comes back.

A frozen copy without the customer and without the car. There is no way from here to the job: the job points at its
outcome, and the job is private.
"""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from diagnostics.models import SystemFamily
from network.models import SharedPicture
from parts.numbers import normalise


class OutcomeQuerySet(models.QuerySet["Outcome"]):
    def shown(self) -> OutcomeQuerySet:
        """Drops what its workshop took back, and what an administrator took down."""
        return self.filter(taken_back_at__isnull=True, taken_down_at__isnull=True)

    def about(self, text: str) -> OutcomeQuerySet:
        """Those whose system family, trouble code or part number the text names. Drops all others."""
        text = text.strip()
        number = normalise(number=text)
        match = Q(family__name__icontains=text) | Q(family__maker__icontains=text)
        if number:
            match |= Q(codes__code__startswith=number) | Q(parts__normalised__startswith=number)
        return self.filter(match).distinct()


class Outcome(models.Model):
    class Method(models.TextChoices):
        REVISED_PART = "revised_part", _("revised part")
        SAME_PART = "same_part", _("same part, new")
        USED_TESTED = "used_part_tested", _("used part, tested")
        USED_UNTESTED = "used_part_untested", _("used part, untested")
        REBUILT_UNIT = "rebuilt_unit", _("rebuilt unit")
        POWER_STAGE = "power_stage_replaced", _("power stage replaced")
        BOARD_DEVICE = "device_replaced_on_board", _("device replaced on the board")
        BOARD_REPAIRED = "board_repaired", _("board repaired")
        OTHER = "other", _("another way")

    class Ended(models.TextChoices):
        """How the following of a repair ended; the answers of `FollowUp` that end it."""

        SAME_FAULT = "same_fault", _("the same fault came back")
        RELATED = "related", _("a related fault came up")
        UNRELATED = "unrelated", _("something unrelated failed")
        SOLD = "sold", _("the car was sold")
        SCRAPPED = "scrapped", _("the car was scrapped")

    workshop = models.ForeignKey("network.Workshop", on_delete=models.PROTECT, related_name="+")
    family = models.ForeignKey(SystemFamily, on_delete=models.PROTECT, null=True, related_name="outcomes")
    part_kind = models.CharField(max_length=20)
    symptom = models.CharField(_("symptom"), max_length=300)
    cause = models.CharField(_("what failed, and what made it fail"), max_length=600)
    repair_method = models.CharField(_("what was done"), max_length=26, choices=Method)
    hours = models.DecimalField(_("hours of work"), max_digits=5, decimal_places=1, null=True, blank=True)
    mileage_band = models.CharField(max_length=40, blank=True)
    figures = models.JSONField(default=list)  # one row a record: title, what was found, verdict
    repaired_on = models.DateField()  # the first of the month: the day itself would help to find the car
    pictures = models.ManyToManyField(SharedPicture, related_name="+")
    # How long it lasted so far, in completed calendar months since the repair; kept by `jobs/following.py`.
    followed_months = models.PositiveSmallIntegerField(default=0)
    ended_as = models.CharField(max_length=10, choices=Ended, blank=True)  # empty: it ran when last seen
    shared_at = models.DateTimeField(auto_now_add=True)
    taken_back_at = models.DateTimeField(null=True)
    taken_down_at = models.DateTimeField(null=True)
    taken_down_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    taken_down_reason = models.CharField(max_length=600, blank=True)

    objects = OutcomeQuerySet.as_manager()

    class Meta:
        ordering = ["-shared_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(taken_down_at__isnull=True, taken_down_by__isnull=True, taken_down_reason="")
                | (Q(taken_down_at__isnull=False, taken_down_by__isnull=False) & ~Q(taken_down_reason="")),
                name="taken_down_by_somebody_for_a_reason",
            )
        ]

    def __str__(self) -> str:
        return self.symptom

    @property
    def stands(self) -> bool:
        """Members see it: neither taken back nor taken down."""
        return self.taken_back_at is None and self.taken_down_at is None


class OutcomeCode(models.Model):
    outcome = models.ForeignKey(Outcome, on_delete=models.CASCADE, related_name="codes")
    code = models.CharField(max_length=12, db_index=True)

    class Meta:
        ordering = ["code"]

    def __str__(self) -> str:
        return self.code


class OutcomePart(models.Model):
    outcome = models.ForeignKey(Outcome, on_delete=models.CASCADE, related_name="parts")
    number = models.CharField(max_length=40)
    normalised = models.CharField(max_length=40, db_index=True)

    class Meta:
        ordering = ["number"]

    def __str__(self) -> str:
        return self.number


class Opinion(models.Model):
    """What another workshop says of an outcome from its own repairs: it saw the same, or it saw something else."""

    outcome = models.ForeignKey(Outcome, on_delete=models.CASCADE, related_name="opinions")
    workshop = models.ForeignKey("network.Workshop", on_delete=models.PROTECT, related_name="+")
    confirms = models.BooleanField()
    words = models.CharField(_("what you saw yourselves"), max_length=600)
    said_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    said_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["said_at", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["outcome", "workshop"], name="one_opinion_a_workshop"),
            models.CheckConstraint(condition=~Q(words=""), name="opinion_says_something"),
        ]

    def __str__(self) -> str:
        return self.words
