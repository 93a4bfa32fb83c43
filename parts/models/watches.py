"""What a person wants to be told of when it is asked for: a system family, a kind of part, a region, or all of them."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from diagnostics.models import SystemFamily
from diagnostics.part_kinds import PartKind
from network.access import PrivateModel
from network.models import Region


class Watch(PrivateModel):
    """What is left empty may be anything; what is named must all fit."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+", editable=False)
    family = models.ForeignKey(
        SystemFamily, on_delete=models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("system family")
    )
    part_kind = models.CharField(_("kind of part"), max_length=20, choices=PartKind, blank=True)
    region = models.ForeignKey(
        Region, on_delete=models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("region that asks")
    )

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(family__isnull=False) | ~Q(part_kind="") | Q(region__isnull=False),
                name="watch_of_something",
                violation_error_message=_(
                    "Name a family, a kind of part or a region; for everything there is the board."
                ),
            )
        ]

    def __str__(self) -> str:
        named = [self.family, self.get_part_kind_display() if self.part_kind else None, self.region]
        return ", ".join(str(one) for one in named if one)
