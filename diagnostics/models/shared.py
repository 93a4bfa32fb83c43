"""What a workshop shows to every member, whatever it is: who shared it and when, and that it can be taken back."""

from __future__ import annotations

from typing import Any, Self

from django.conf import settings
from django.db import models


class SharedQuerySet(models.QuerySet[Any]):
    def shown(self) -> Self:
        """Drops what its workshop took back."""
        return self.filter(taken_back_at__isnull=True)

    def of_workshop(self, workshop: Any) -> Self:
        return self.filter(shared_by_workshop=workshop)


class Shared(models.Model):
    """A frozen copy; there is no way from it to the private row that it was made of."""

    shared_by_workshop = models.ForeignKey("network.Workshop", on_delete=models.PROTECT, related_name="+")
    shared_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    shared_at = models.DateTimeField(auto_now_add=True)
    taken_back_at = models.DateTimeField(null=True)

    objects = SharedQuerySet.as_manager()

    class Meta:
        abstract = True
        ordering = ["-shared_at", "-pk"]
