"""What lies on a workshop's shelf: uploaded as a table, matched against requests, seen by nobody else."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from network.access import PrivateModel
from parts.numbers import LONGEST_NUMBER


class ShelfUpload(PrivateModel):
    """A table as it was uploaded, kept until its columns are named; then it is gone and its rows are ShelfItems."""

    name = models.CharField(max_length=120)
    table = models.JSONField()  # {"headers": [text], "rows": [[text]]}, every cell a text
    uploaded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    uploaded_at = models.DateTimeField(auto_now_add=True)

    class Meta(PrivateModel.Meta):
        abstract = False

    def __str__(self) -> str:
        return self.name


class ShelfItem(PrivateModel):
    """One line of the list in use."""

    number = models.CharField(_("part number"), max_length=LONGEST_NUMBER)
    normalised = models.CharField(max_length=LONGEST_NUMBER, db_index=True)
    description = models.CharField(_("what it is"), max_length=120, blank=True)
    quantity = models.PositiveIntegerField(_("pieces"), default=1)
    condition = models.CharField(_("condition"), max_length=60, blank=True)
    place = models.CharField(_("where it lies"), max_length=60, blank=True)

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["normalised", "pk"]
        constraints = [
            models.CheckConstraint(condition=~Q(normalised="") & Q(quantity__gt=0), name="shelf_item_can_be_matched")
        ]

    def __str__(self) -> str:
        return self.number
