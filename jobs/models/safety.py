"""Making safe: each step as it was done and signed, and every change of state that ends it."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from jobs.models.jobs import Job
from network.access import PrivateModel


class SafeStep(PrivateModel):
    """One step, done by a qualified person with a second one present. It counts in the turn that it was done in."""

    class Code(models.TextChoices):
        """In the order in which they are done."""

        CHARGE_LEAD = "charge_lead", _("Charge lead out, remote preconditioning off")
        WHEELS = "wheels", _("Wheels blocked")
        KEY = "key", _("Key locked away")
        TWELVE_VOLT = "twelve_volt", _("12 V off")
        GLOVES = "gloves", _("Insulating gloves looked at")
        DISCONNECT = "disconnect", _("Service disconnect out")
        WAIT = "wait", _("The maker’s wait kept")
        PROVING_SOURCE = "proving_source", _("Proving source for the meter at hand")
        POINTS = "points", _("Measuring points named")

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="safe_steps")
    turn = models.PositiveIntegerField()
    code = models.CharField(max_length=14, choices=Code)
    facts = models.JSONField(default=dict)  # what the step asks for, by the names of its fields
    done_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    stood_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    done_at = models.DateTimeField(default=timezone.now)

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["done_at", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["job", "turn", "code"], name="safe_step_once_a_turn"),
            models.CheckConstraint(condition=~Q(done_by=F("stood_by")), name="safe_step_never_alone"),
        ]

    def __str__(self) -> str:
        return self.get_code_display()


class StateChange(PrivateModel):
    """The car is no longer as it was proved. Nothing that was done before counts after it."""

    class What(models.TextChoices):
        CONNECTOR = "connector", _("a high-voltage connector was opened")
        REFITTED = "refitted", _("the service disconnect was refitted")
        TWELVE_VOLT = "twelve_volt", _("12 V was switched on")
        LIVE = "live", _("it goes live for diagnosis")

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="state_changes")
    what = models.CharField(_("what changed"), max_length=11, choices=What)
    words = models.CharField(_("why"), max_length=300)
    signed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    stood_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    changed_at = models.DateTimeField(default=timezone.now)

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["changed_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(what="live") | Q(stood_by__isnull=False), name="live_only_with_a_second_person"
            ),
        ]

    def __str__(self) -> str:
        return self.get_what_display()
