"""What members state of two numbers: one replaces the other, or may be used instead. By region and day, with evidence.

A statement stands until whoever made it takes it back. A second workshop confirms it; any other may dispute it with
its reason, and lift its dispute again. Nothing is deleted: both sides stay to be read.
"""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from network.models import Region, SharedPicture, Workshop
from parts.models.numbers import PartNumber

STANDS = Q(taken_back_at__isnull=True)


class SupersessionQuerySet(models.QuerySet["Supersession"]):
    def standing(self) -> SupersessionQuerySet:
        """Drops what was taken back."""
        return self.filter(taken_back_at__isnull=True)

    def replacing(self) -> SupersessionQuerySet:
        """Drops what may only be used instead."""
        return self.filter(kind=Supersession.Kind.REPLACED)


class Supersession(models.Model):
    class Kind(models.TextChoices):
        REPLACED = "replaced", _("is replaced by")
        INSTEAD = "instead", _("may be replaced, under conditions, by")

    class Backwards(models.TextChoices):
        UNKNOWN = "unknown", _("not known")
        YES = "yes", _("yes, either fits where the other was")
        NO = "no", _("no, the older one does not fit where the newer was")

    old = models.ForeignKey(PartNumber, on_delete=models.PROTECT, related_name="followed_by")
    new = models.ForeignKey(PartNumber, on_delete=models.PROTECT, related_name="following")
    kind = models.CharField(_("what you state"), max_length=8, choices=Kind, default=Kind.REPLACED)
    region = models.ForeignKey(
        Region, on_delete=models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("in this region")
    )
    since = models.DateField(_("since"), null=True, blank=True)
    backwards = models.CharField(_("fits backwards"), max_length=7, choices=Backwards, default=Backwards.UNKNOWN)
    conditions = models.CharField(_("conditions"), max_length=300, blank=True)
    evidence = models.CharField(_("evidence"), max_length=200)
    picture = models.ForeignKey(SharedPicture, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    entered_by_workshop = models.ForeignKey(Workshop, on_delete=models.PROTECT, related_name="+")
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    entered_at = models.DateTimeField(auto_now_add=True)
    confirmed_by_workshop = models.ForeignKey(Workshop, on_delete=models.PROTECT, null=True, related_name="+")
    confirmed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    confirmed_at = models.DateTimeField(null=True)
    disputed_by_workshop = models.ForeignKey(Workshop, on_delete=models.PROTECT, null=True, related_name="+")
    disputed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    disputed_at = models.DateTimeField(null=True)
    dispute_reason = models.CharField(max_length=300, blank=True)
    taken_back_at = models.DateTimeField(null=True)

    objects = SupersessionQuerySet.as_manager()

    class Meta:
        ordering = ["since", "pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(old=F("new")), name="supersession_of_two_numbers"),
            models.CheckConstraint(condition=Q(kind="replaced") | ~Q(conditions=""), name="instead_names_conditions"),
            models.CheckConstraint(condition=~Q(evidence=""), name="supersession_names_evidence"),
            models.CheckConstraint(
                condition=Q(confirmed_by_workshop__isnull=True, confirmed_by__isnull=True, confirmed_at__isnull=True)
                | (
                    Q(confirmed_by_workshop__isnull=False, confirmed_by__isnull=False, confirmed_at__isnull=False)
                    & ~Q(confirmed_by_workshop=F("entered_by_workshop"))
                ),
                name="supersession_confirmed_by_a_second",
            ),
            models.CheckConstraint(
                condition=Q(
                    disputed_by_workshop__isnull=True,
                    disputed_by__isnull=True,
                    disputed_at__isnull=True,
                    dispute_reason="",
                )
                | (
                    Q(disputed_by_workshop__isnull=False, disputed_by__isnull=False, disputed_at__isnull=False)
                    & ~Q(dispute_reason="")
                    & ~Q(disputed_by_workshop=F("entered_by_workshop"))
                ),
                name="supersession_dispute_says_why",
            ),
            models.UniqueConstraint(
                fields=["old", "new", "kind", "region"],
                condition=Q(taken_back_at__isnull=True, region__isnull=False),
                name="supersession_once_a_region",
            ),
            models.UniqueConstraint(
                fields=["old", "new", "kind"],
                condition=Q(taken_back_at__isnull=True, region__isnull=True),
                name="supersession_once_everywhere",
            ),
        ]
        indexes = [
            # The steps of a chain, read from the index alone, forwards and backwards.
            models.Index(
                fields=["old", "kind", "new"], condition=Q(taken_back_at__isnull=True), name="supersession_forward"
            ),
            models.Index(
                fields=["new", "kind", "old"], condition=Q(taken_back_at__isnull=True), name="supersession_back"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.old} {self.get_kind_display()} {self.new}"

    @property
    def disputed(self) -> bool:
        return self.disputed_at is not None

    @property
    def confirmed(self) -> bool:
        return self.confirmed_at is not None
