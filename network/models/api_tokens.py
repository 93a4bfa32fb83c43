"""What programs of a workshop need: tokens to speak for it, and the answers they were given to requests with a key."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from network.access import PrivateModel


class ApiToken(PrivateModel):
    """One program's way in. The token itself is shown once and never stored: only its digest is."""

    name = models.CharField(_("what uses it"), max_length=60)
    digest = models.CharField(max_length=64, unique=True)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    last_used_at = models.DateTimeField(null=True)
    revoked_at = models.DateTimeField(null=True)
    revoked_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["-made_at", "-pk"]

    def __str__(self) -> str:
        return self.name


class KeptAnswer(PrivateModel):
    """What was answered to a write with an Idempotency-Key: the same again, when the program asks the same again."""

    key = models.CharField(max_length=255)
    fingerprint = models.CharField(max_length=64)  # of method, path and body
    status = models.PositiveSmallIntegerField(null=True)
    body = models.TextField(blank=True)
    made_at = models.DateTimeField(auto_now_add=True, db_index=True)

    class Meta(PrivateModel.Meta):
        abstract = False
        constraints = [models.UniqueConstraint(fields=["workshop", "key"], name="idempotency_key_once")]

    def __str__(self) -> str:
        return self.key
