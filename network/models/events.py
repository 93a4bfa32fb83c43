"""Who did what, when: one row per change of state, written by the verb itself in the same transaction."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models


class Event(models.Model):
    """`facts` hold keys, codes and numbers only: never a name, an address or free text of a customer."""

    verb = models.CharField(max_length=60)
    subject_type = models.CharField(max_length=40)
    subject_id = models.BigIntegerField()
    workshop = models.ForeignKey("network.Workshop", on_delete=models.PROTECT, null=True, related_name="+")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    at = models.DateTimeField(auto_now_add=True)
    facts = models.JSONField(default=dict)

    class Meta:
        indexes = [models.Index(fields=["subject_type", "subject_id", "at"], name="event_of_subject")]

    def __str__(self) -> str:
        return f"{self.verb} {self.subject_type} {self.subject_id}"

    @classmethod
    def record(
        cls, verb: str, subject: models.Model, *, by: Any = None, workshop: Any = None, **facts: object
    ) -> Event:
        """Write down that `by` (None: an owner with a private link, or the clock) did `verb` to `subject`."""
        return cls.objects.create(
            verb=verb,
            subject_type=subject._meta.label_lower,
            subject_id=subject.pk,
            by=by,
            workshop=workshop,
            facts=facts,
        )
