"""Questions and replies under a request: everybody who sees the request reads them."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from network.models import Workshop
from parts.models.requests import PartRequest


class Question(models.Model):
    """A question, or (with `replies_to`) a reply to one. Never changed."""

    request = models.ForeignKey(PartRequest, on_delete=models.PROTECT, related_name="questions")
    replies_to = models.ForeignKey("self", on_delete=models.PROTECT, null=True, related_name="replies")
    workshop = models.ForeignKey(Workshop, on_delete=models.PROTECT, related_name="+")
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    asked_at = models.DateTimeField(default=timezone.now)
    text = models.TextField(_("text"), max_length=1000)

    class Meta:
        ordering = ["asked_at", "pk"]
        constraints = [models.CheckConstraint(condition=~Q(text=""), name="question_has_words")]

    def __str__(self) -> str:
        return f"{self.workshop}: {self.text[:40]}"
