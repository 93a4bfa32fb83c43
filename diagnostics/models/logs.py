"""Loggers' files as they were uploaded, how far each was read, and which columns a workshop's files have.

The file itself stays as it came; its digest enters the record that is made from it. The samples beside it are what was
read of it, in seconds, volts and amperes, and can be made again from the file (`diagnostics/log_reading.py`).
"""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from network.access import PrivateModel


class MeasurementLog(PrivateModel):
    """A logger's file as it was uploaded; the record that was made from it holds the digest of these bytes."""

    class State(models.TextChoices):
        STORED = "stored", _("waits for its columns")
        READING = "reading", _("being read")
        READ = "read", _("read")
        REFUSED = "refused", _("could not be read")

    sheet = models.ForeignKey("diagnostics.Sheet", on_delete=models.PROTECT, related_name="logs")
    name = models.CharField(max_length=120, blank=True)
    file = models.FileField(upload_to="logs/%Y/%m/")
    sha256 = models.CharField(max_length=64)
    stored_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    stored_at = models.DateTimeField(auto_now_add=True)
    state = models.CharField(max_length=8, choices=State, default=State.READ)
    # Which columns, units and sign; what was typed of the clamp and the cut-off; what was found. Empty for a file that
    # went straight into a record.
    columns = models.JSONField(default=dict)
    settings = models.JSONField(default=dict)
    found = models.JSONField(default=dict)
    # How far it was read. `offset` is what a step wins or loses by.
    samples = models.FileField(upload_to="logs/%Y/%m/", blank=True)
    rows = models.PositiveIntegerField(default=0)
    offset = models.PositiveBigIntegerField(default=0)
    size = models.PositiveBigIntegerField(default=0)
    standing = models.JSONField(default=dict)
    problem = models.CharField(max_length=300, blank=True)
    problem_line = models.PositiveIntegerField(null=True)
    further = models.JSONField(default=list)  # sentences on the next bad lines, so that all are mended at once

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["-pk"]

    def __str__(self) -> str:
        return self.name or self.sha256[:12]


class LogShape(PrivateModel):
    """The columns that a workshop chose the last time for files with the same headers."""

    shape = models.CharField(max_length=64)
    columns = models.JSONField()

    class Meta(PrivateModel.Meta):
        abstract = False
        constraints = [models.UniqueConstraint(fields=["workshop", "shape"], name="log_shape_once")]

    def __str__(self) -> str:
        return self.shape[:12]
