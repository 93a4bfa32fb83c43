"""What bears on the clearance of a job beside records and signed entries: waivers, and what disturbed the car."""

from __future__ import annotations

from typing import Any, ClassVar

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from jobs.models.jobs import Job
from network.access import PrivateManager, PrivateModel


class Waiver(PrivateModel):
    """A requirement that is done without, once: why, and who answers for it. Some can never be waived."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="waivers")
    requirement = models.CharField(max_length=40)
    reason = models.TextField(_("reason"), max_length=1000)
    waived_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    waived_at = models.DateTimeField(default=timezone.now)

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["waived_at"]
        constraints = [
            models.UniqueConstraint(fields=["job", "requirement"], name="waived_once"),
            models.CheckConstraint(condition=~Q(reason=""), name="waiver_gives_a_reason"),
            models.CheckConstraint(
                condition=~Q(requirement__in=["absence_of_voltage", "isolation", "identity", "isolation_after"]),
                name="never_waived",
            ),
        ]

    def __str__(self) -> str:
        return self.requirement


class Disturbance(PrivateModel):
    """Something done to the car that ends older evidence, though not the proof of being dead (see `StateChange`)."""

    class What(models.TextChoices):
        WIRING_TOUCHED = "wiring_touched", _("other high-voltage wiring was touched")

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="disturbances")
    what = models.CharField(_("what was done"), max_length=20, choices=What)
    at = models.DateTimeField(default=timezone.now)
    noted_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    objects: ClassVar[Any] = PrivateManager()

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["at", "pk"]

    def __str__(self) -> str:
        return self.get_what_display()
