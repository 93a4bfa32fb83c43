"""Revisions under an unchanged number: makers change a part and print the old number on it.

What tells one from the other (a label, the print on the board, the colour of a connector), why it was revised, which
is known to fail, and what coding it needs. Each is what one workshop saw, until a second confirms it; receipts count
who saw the same.
"""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Lower
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from network.models import SharedPicture, Workshop
from parts.models.numbers import PartNumber

MOST_DOTS = 5


class PartRevision(models.Model):
    class Standing(models.TextChoices):
        UNKNOWN = "unknown", _("not known")
        KNOWN_TO_FAIL = "known_to_fail", _("known to fail")
        NO_FAULT_KNOWN = "no_fault_known", _("no fault known")

    class DonorLock(models.TextChoices):
        UNKNOWN = "unknown", _("not known")
        NONE = "none", _("not locked to a car")
        CODABLE = "codable", _("locked to its car, can be coded to another")
        UNCODABLE = "uncodable", _("locked to its car for good")

    part_number = models.ForeignKey(PartNumber, on_delete=models.PROTECT, related_name="revisions")
    name = models.CharField(_("name of the revision"), max_length=60)
    made = models.CharField(_("made from, until"), max_length=80, blank=True)
    label_mark = models.CharField(_("mark on the label"), max_length=120, blank=True)
    dots = models.PositiveSmallIntegerField(_("dots on the label"), null=True, blank=True)
    board_print = models.CharField(_("print on the board"), max_length=120, blank=True)
    connector_colour = models.CharField(_("colour of a connector"), max_length=120, blank=True)
    why = models.CharField(_("why it was revised"), max_length=300, blank=True)
    standing = models.CharField(_("known to fail"), max_length=14, choices=Standing, default=Standing.UNKNOWN)
    fault = models.CharField(_("how it fails"), max_length=300, blank=True)
    software_number = models.CharField(_("software number"), max_length=60, blank=True)
    donor_lock = models.CharField(_("donor lock"), max_length=9, choices=DonorLock, default=DonorLock.UNKNOWN)
    coding_route = models.CharField(_("coding route"), max_length=300, blank=True)
    pictures = models.ManyToManyField(SharedPicture, related_name="+", blank=True)
    entered_by_workshop = models.ForeignKey(Workshop, on_delete=models.PROTECT, related_name="+")
    entered_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    entered_at = models.DateTimeField(auto_now_add=True)
    # A second workshop that saw the same marks; a correction ends it.
    confirmed_by_workshop = models.ForeignKey(Workshop, on_delete=models.PROTECT, null=True, related_name="+")
    confirmed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    confirmed_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint("part_number", Lower("name"), name="revision_once_a_number"),
            models.CheckConstraint(
                condition=~Q(label_mark="", board_print="", connector_colour="") | Q(dots__isnull=False),
                name="revision_has_a_mark",
            ),
            models.CheckConstraint(
                condition=~Q(standing="known_to_fail") | ~Q(fault=""), name="revision_that_fails_says_how"
            ),
            models.CheckConstraint(
                condition=Q(confirmed_by_workshop__isnull=True, confirmed_by__isnull=True, confirmed_at__isnull=True)
                | (
                    Q(confirmed_by_workshop__isnull=False, confirmed_by__isnull=False, confirmed_at__isnull=False)
                    & ~Q(confirmed_by_workshop=F("entered_by_workshop"))
                ),
                name="revision_confirmed_by_a_second",
            ),
            models.CheckConstraint(
                condition=Q(dots__isnull=True) | Q(dots__lte=MOST_DOTS), name="revision_dots_can_be_drawn"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def fails(self) -> bool:
        return self.standing == self.Standing.KNOWN_TO_FAIL

    @property
    def words(self) -> str:
        """What to look for and what is known of it, in one line."""
        words = [f"{place}: {text}" for place, text in self.marks]
        if self.fails:
            words.append(gettext("known to fail: %(fault)s") % {"fault": self.fault})
        if self.software_number:
            words.append(gettext("software %(number)s") % {"number": self.software_number})
        if self.donor_lock != self.DonorLock.UNKNOWN:
            words.append(str(self.get_donor_lock_display()))
        if self.coding_route:
            words.append(gettext("coding: %(route)s") % {"route": self.coding_route})
        return "; ".join(words)

    @property
    def marks(self) -> list[tuple[str, str]]:
        """What to look for: where, and what stands there."""
        places = [
            (_("label"), self.label_mark),
            (_("print on the board"), self.board_print),
            (_("connector"), self.connector_colour),
        ]
        return [(str(place), text) for place, text in places if text]
