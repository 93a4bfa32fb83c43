"""What was stated of a part number or of a revision before somebody corrected it. Never changed or deleted."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from network.models import Workshop
from parts.models.numbers import PartNumber
from parts.models.revisions import PartRevision


class Correction(models.Model):
    """One correction, with the earlier words of each field that it changed."""

    part_number = models.ForeignKey(PartNumber, on_delete=models.PROTECT, related_name="corrections")
    revision = models.ForeignKey(PartRevision, on_delete=models.PROTECT, null=True, related_name="corrections")
    earlier = models.JSONField()  # {name of the field: as it stood}; families as a list of their names
    was_confirmed_by = models.ForeignKey(Workshop, on_delete=models.PROTECT, null=True, related_name="+")
    why = models.CharField(_("why it is corrected"), max_length=200)
    by_workshop = models.ForeignKey(Workshop, on_delete=models.PROTECT, related_name="+")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["-pk"]
        constraints = [models.CheckConstraint(condition=~Q(why=""), name="correction_says_why")]

    def __str__(self) -> str:
        return f"{self.revision or self.part_number}: {self.why}"
