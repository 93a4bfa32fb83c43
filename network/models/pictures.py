"""Pictures of a workshop, and the copies that it shows to every member."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from network.access import PrivateModel


class Picture(PrivateModel):
    """A photo of a workshop's own; `network/pictures.py` made the file anew, so nothing of the camera is in it."""

    file = models.FileField(upload_to="pictures/%Y/%m/")
    sha256 = models.CharField(max_length=64)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    caption = models.CharField(_("what it shows"), max_length=120, blank=True)
    added_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    added_at = models.DateTimeField(auto_now_add=True)

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.caption or f"picture {self.pk}"


class SharedPicture(models.Model):
    """A copy that every member may see: never a link to the private picture."""

    file = models.FileField(upload_to="shared-pictures/%Y/%m/")
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    caption = models.CharField(_("what it shows"), max_length=120, blank=True)
    shared_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    shared_by_workshop = models.ForeignKey("network.Workshop", on_delete=models.PROTECT, related_name="+")
    shared_at = models.DateTimeField(auto_now_add=True)
    taken_back_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.caption or f"shared picture {self.pk}"
