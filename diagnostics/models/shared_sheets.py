"""A sheet that its workshop showed to every member: a frozen copy, without a person, a car or a free remark in it.

There is no way from here to the sheet: the sheet points at its copies, and the sheet is private. The board's answers
and whoever asks for a second opinion point at a copy by foreign key (`diagnostics/sharing_sheets.py` makes it).
"""

from __future__ import annotations

import hashlib
import json
from functools import cached_property
from typing import Any

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from diagnostics.models.families import SystemFamily
from diagnostics.models.shared import Shared
from diagnostics.part_kinds import PartKind


class SharedSheet(Shared):
    class Serial(models.TextChoices):
        SHORTENED = "shortened", _("only its last signs")
        WHOLE = "whole", _("the whole serial number")

    title = models.CharField(_("what was measured"), max_length=120)
    family = models.ForeignKey(SystemFamily, on_delete=models.PROTECT, null=True, related_name="+")
    part_kind = models.CharField(_("kind of part"), max_length=20, choices=PartKind, blank=True)
    part_number = models.CharField(_("part number"), max_length=40, blank=True)
    part_serial = models.CharField(_("serial number"), max_length=60, blank=True)  # as it is shown
    serial_shown = models.CharField(_("serial number is shown as"), max_length=9, choices=Serial)
    occasion = models.CharField(max_length=8, blank=True)
    # As they are compared; a shortened serial number is never compared.
    flat_number = models.CharField(max_length=40, blank=True)
    flat_serial = models.CharField(max_length=60, blank=True, db_index=True)
    # What is shown, as the text that was hashed: the columns above repeat what queries need of it.
    canonical = models.TextField()
    hash = models.CharField(max_length=64)
    last_hash = models.CharField(max_length=64)  # the head of the sheet's chain on the day; /verify/ knows it

    class Meta(Shared.Meta):
        abstract = False
        constraints = [
            models.CheckConstraint(
                condition=Q(serial_shown="whole") | Q(flat_serial=""), name="shortened_serial_is_not_compared"
            ),
        ]

    def __str__(self) -> str:
        return self.title

    @cached_property
    def body(self) -> dict[str, Any]:
        """The frozen copy, read: title, part, records; its shape stands in `diagnostics.sharing_sheets.draft`."""
        return json.loads(self.canonical)

    @property
    def holds(self) -> bool:
        """Whether the copy still is what was shared."""
        return hashlib.sha256(self.canonical.encode()).hexdigest() == self.hash
