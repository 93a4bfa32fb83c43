"""Sheets and their records. Records are only ever added; each holds the hash of the one before it.

What is hashed is the canonical text itself, stored beside the columns that queries need (`diagnostics/chain.py`).
"""

from __future__ import annotations

import json
from functools import cached_property
from typing import Any, ClassVar

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from diagnostics.models.families import SystemFamily
from diagnostics.models.reference import SharedFigures
from diagnostics.models.shared_sheets import SharedSheet
from diagnostics.part_kinds import PartKind
from diagnostics.plates import flat
from network.access import PrivateManager, PrivateModel, PrivateQuerySet


class Sheet(PrivateModel):
    """Records of one car, or of one part by its serial number and without a job: on the bench, received, fitted."""

    class Occasion(models.TextChoices):
        BENCH = "bench", _("on the bench")
        CARRIAGE = "carriage", _("after carriage")
        FITTING = "fitting", _("at fitting")

    title = models.CharField(_("what is measured"), max_length=120)
    family = models.ForeignKey(SystemFamily, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    part_kind = models.CharField(_("kind of part"), max_length=20, choices=PartKind, blank=True)
    part_number = models.CharField(_("part number, as printed"), max_length=40, blank=True)
    part_serial = models.CharField(_("serial number of the part"), max_length=60, blank=True)
    # As they are compared: the part is followed by them, however they were spaced when typed.
    flat_number = models.CharField(max_length=40, blank=True, editable=False)
    flat_serial = models.CharField(max_length=60, blank=True, editable=False, db_index=True)
    occasion = models.CharField(_("when it is measured"), max_length=8, choices=Occasion, blank=True)
    # Of the car, when the sheet was begun; a part on the bench has none.
    odometer_km = models.PositiveIntegerField(null=True, editable=False)
    # What was shared of it. The link is on this side only: the frozen copies know no private row.
    copies = models.ManyToManyField(SharedSheet, related_name="+")
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    # The head of the chain: how many records there are, and the hash of the last. Both enter `chain.problems`.
    length = models.PositiveIntegerField(default=0)
    last_hash = models.CharField(max_length=64, blank=True)
    # The state of the car. Each time that it is no longer dead a new turn begins: steps of making safe count only in
    # the turn that they were done in, a proof only after the record with which the turn began (`recording.py`).
    asks_for_steps = models.BooleanField(default=False)  # a car's sheet: no proof without the steps before it
    turn = models.PositiveIntegerField(default=1)
    turn_began_at = models.PositiveIntegerField(default=0)  # sequence of the last record of the turn before
    steps_done_in = models.PositiveIntegerField(default=0)  # the turn in which all steps were done

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["-made_at"]

    def __str__(self) -> str:
        return self.title

    def save(self, *args: Any, **kwargs: Any) -> None:
        self.flat_number, self.flat_serial = flat(self.part_number)[:40], flat(self.part_serial)[:60]
        super().save(*args, **kwargs)

    @property
    def steps_done(self) -> bool:
        """Every step of making safe was done since the car was last live or at 12 V; or none is asked for."""
        return not self.asks_for_steps or self.steps_done_in == self.turn


class CarState(models.TextChoices):
    DEAD = "dead", _("dead, service disconnect out")
    TWELVE_VOLT = "twelve_volt", _("12 V on, service disconnect out")
    LIVE = "live", _("live, also turned or on the road")
    BENCH = "bench", _("on the bench")


class RecordQuerySet(PrivateQuerySet):
    def standing(self) -> RecordQuerySet:
        """Drops records that a later one corrects."""
        return self.filter(corrected_by__isnull=True)


class RecordManager(PrivateManager.from_queryset(RecordQuerySet)):  # type: ignore[misc]
    """The acting workshop's records."""


class Record(PrivateModel):
    """One measurement as it was taken, judged and stored. Never changed: a correction is a new record that names it."""

    sheet = models.ForeignKey(Sheet, on_delete=models.PROTECT, related_name="records")
    sequence = models.PositiveIntegerField()
    kind = models.CharField(max_length=40)
    subject = models.CharField(max_length=40, blank=True)
    state = models.CharField(max_length=11, choices=CarState)
    verdict = models.CharField(max_length=8)
    taken_at = models.DateTimeField()
    taken_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    stood_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    # Names as they were on the day, and free text: they enter the hash only as salted digests, so that they can be
    # erased (all three and the salt together) while the chain still holds.
    taken_by_name = models.CharField(max_length=120, blank=True)
    stood_by_name = models.CharField(max_length=120, blank=True)
    remark = models.TextField(blank=True)
    log = models.ForeignKey("diagnostics.MeasurementLog", on_delete=models.PROTECT, null=True, related_name="+")
    replaces = models.OneToOneField("self", on_delete=models.PROTECT, null=True, related_name="corrected_by")
    # What was shared of it as reference readings. The link is on this side only, as for the copies of a sheet.
    figures_shared = models.ManyToManyField(SharedFigures, related_name="+")
    salt = models.CharField(max_length=32)
    canonical = models.TextField()
    previous_hash = models.CharField(max_length=64, blank=True)
    hash = models.CharField(max_length=64, db_index=True)

    objects: ClassVar[Any] = RecordManager()

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["sheet", "sequence"]
        constraints = [models.UniqueConstraint(fields=["sheet", "sequence"], name="record_sequence_once")]

    def __str__(self) -> str:
        return f"{self.kind} {self.sequence}"

    @cached_property
    def body(self) -> dict[str, Any]:
        """The canonical text, read: values as typed, instrument, limits, findings, verdict."""
        return json.loads(self.canonical)
