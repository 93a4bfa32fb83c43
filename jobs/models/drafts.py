"""Half-filled steps of a job, kept until they are signed."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from jobs.models.jobs import Job
from network.access import PrivateModel


class StepDraft(PrivateModel):
    """What one person has typed into one step so far."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="drafts")
    step = models.CharField(max_length=24)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    typed = models.JSONField(default=dict)
    kept_at = models.DateTimeField(auto_now=True)

    class Meta(PrivateModel.Meta):
        abstract = False
        constraints = [models.UniqueConstraint(fields=["job", "step", "person"], name="draft_once")]

    def __str__(self) -> str:
        return self.step
