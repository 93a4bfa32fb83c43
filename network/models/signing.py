"""The short code that a person signs with on a device of their workshop."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class SigningCode(models.Model):
    """Hashed, with the tries since it was last right. `network/signing.py` is the only one to read it."""

    person = models.OneToOneField(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="signing_code")
    hashed = models.CharField(max_length=128)
    tries = models.PositiveSmallIntegerField(default=0)
    last_try_at = models.DateTimeField(null=True)
    set_at = models.DateTimeField(auto_now=True)

    def __str__(self) -> str:
        return f"signing code of person {self.person_id}"
