"""A second pair of eyes: a frozen copy of one job for one named colleague elsewhere, and what that colleague signed.

The copy holds neither the customer nor what the car could be found by. There is no way from it to the job: the job's
workshop keeps the link (`JobLook`), which is private.
"""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from jobs.models.jobs import Job
from network.access import PrivateModel
from network.models import Membership


class SecondLookQuerySet(models.QuerySet["SecondLook"]):
    def visible_to(self, membership: Membership) -> SecondLookQuerySet:
        """Whoever asked, all of that workshop; and of the other one the named colleague alone."""
        return self.filter(Q(asked_by_workshop=membership.workshop_id) | Q(colleague=membership))

    def waiting_for(self, membership: Membership) -> SecondLookQuerySet:
        """Drops those that this colleague has signed, and those that have lapsed."""
        return self.filter(colleague=membership, remark="", lapses_on__gte=timezone.localdate())


class SecondLook(models.Model):
    asked_by_workshop = models.ForeignKey("network.Workshop", on_delete=models.PROTECT, related_name="+")
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    asked_at = models.DateTimeField(default=timezone.now)
    colleague = models.ForeignKey(Membership, on_delete=models.PROTECT, related_name="+")
    question = models.CharField(_("what you want to know"), max_length=600)
    copy = models.JSONField()  # as `jobs.second_looks.frozen_copy` makes it
    copy_sha256 = models.CharField(max_length=64)
    lapses_on = models.DateField(_("may be read until"))
    remark = models.TextField(_("your remark"), max_length=2000, blank=True)
    remarked_at = models.DateTimeField(null=True)
    remark_sha256 = models.CharField(max_length=64, blank=True)  # over the copy, the words, who and when

    objects = SecondLookQuerySet.as_manager()

    class Meta:
        ordering = ["-asked_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(remark="", remarked_at__isnull=True, remark_sha256="")
                | (~Q(remark="") & Q(remarked_at__isnull=False) & ~Q(remark_sha256="")),
                name="remark_is_signed",
            )
        ]

    def __str__(self) -> str:
        return self.question

    @property
    def lapsed(self) -> bool:
        """The last day still counts."""
        return self.lapses_on < timezone.localdate()


class JobLook(PrivateModel):
    """Which job a second look is at; known to its workshop alone."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="looks")
    look = models.OneToOneField(SecondLook, on_delete=models.PROTECT, related_name="+")

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["pk"]

    def __str__(self) -> str:
        return str(self.look)
