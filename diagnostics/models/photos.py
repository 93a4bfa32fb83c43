"""Photographs of a display: the reading is taken now and typed later, from the picture."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from diagnostics.models.sheets import Record, Sheet
from network.access import PrivateModel
from network.models import Picture


class DisplayPhoto(PrivateModel):
    sheet = models.ForeignKey(Sheet, on_delete=models.PROTECT, related_name="photos")
    kind = models.CharField(max_length=40)  # of the record that is to be typed from it
    picture = models.OneToOneField(Picture, on_delete=models.PROTECT, related_name="+")
    taken_at = models.DateTimeField()
    taken_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    record = models.OneToOneField(Record, on_delete=models.PROTECT, null=True, related_name="photo")
    put_aside_at = models.DateTimeField(null=True)  # blurred, or of something else: nobody types it

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["taken_at", "pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(record__isnull=True) | models.Q(put_aside_at__isnull=True),
                name="photo_typed_is_not_put_aside",
            )
        ]

    def __str__(self) -> str:
        return f"{self.kind} of {self.sheet}"
