"""Trouble codes as they were read from a car, each time they were read; and what the workshop says of a code."""

from __future__ import annotations

from typing import Any, ClassVar

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from diagnostics.calculations.code_structure import Structure, structure
from diagnostics.calculations.trouble_codes import status_flags
from jobs.models.jobs import Job
from network.access import PrivateManager, PrivateModel, PrivateQuerySet


class CodeReading(PrivateModel):
    """The codes were read once: before the repair or after it, by typing, from a text, or from a reply's bytes.

    A reading without a code says that none was stored.
    """

    class Stage(models.TextChoices):
        FOUND = "found", _("as found")
        AFTER = "after", _("after the repair")

    class Form(models.TextChoices):
        TEXT = "text", _("typed, or any text with codes in it")
        STORED_CAN = "stored_can", _("reply 43 … on CAN: stored codes, as bytes")
        STORED_PLAIN = "stored_plain", _("reply 43 … not on CAN: stored codes, as bytes")
        STATUS = "status", _("reply 59 02 …: codes with status, as bytes")

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="code_readings")
    stage = models.CharField(_("read"), max_length=5, choices=Stage, default=Stage.FOUND)
    form = models.CharField(_("what you have"), max_length=12, choices=Form, default=Form.TEXT)
    unit = models.CharField(_("control unit"), max_length=60, blank=True)
    text = models.TextField(blank=True)  # as it was typed or pasted
    read_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    read_at = models.DateTimeField(default=timezone.now)

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["read_at", "pk"]

    def __str__(self) -> str:
        return self.get_stage_display()


class JobCodeQuerySet(PrivateQuerySet):
    def as_found(self) -> JobCodeQuerySet:
        """Drops what was read after the repair."""
        return self.filter(reading__stage=CodeReading.Stage.FOUND)

    def after(self) -> JobCodeQuerySet:
        """Drops what was read before the repair."""
        return self.filter(reading__stage=CodeReading.Stage.AFTER)


class JobCodeManager(PrivateManager.from_queryset(JobCodeQuerySet)):  # type: ignore[misc]
    """The acting workshop's codes."""


class JobCode(PrivateModel):
    """A trouble code of one reading, with its failure type or the maker's detail number, and its status byte."""

    reading = models.ForeignKey(CodeReading, on_delete=models.PROTECT, related_name="codes")
    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="codes")
    code = models.CharField(max_length=5)
    detail = models.CharField(_("failure type or maker's detail number"), max_length=6, blank=True)
    status = models.PositiveSmallIntegerField(null=True)  # a byte, ISO 14229-1
    freeze_frame = models.TextField(_("freeze frame"), max_length=4000, blank=True)

    objects: ClassVar[Any] = JobCodeManager()

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["code", "detail", "pk"]
        constraints = [models.UniqueConstraint(fields=["reading", "code", "detail"], name="code_once_a_reading")]

    def __str__(self) -> str:
        return f"{self.code}-{self.detail}" if self.detail else self.code

    @property
    def structure(self) -> Structure:
        return structure(code=self.code)

    @property
    def flags(self) -> tuple[str, ...]:
        """The names of the status bits that are set, of ISO 14229-1; empty where no status was read."""
        return status_flags(status=self.status) if self.status is not None else ()


class CodeDescription(PrivateModel):
    """What this workshop says a code means, kept for the next time it is met."""

    code = models.CharField(max_length=5)
    detail = models.CharField(max_length=6, blank=True)
    words = models.CharField(_("what it means, in your words"), max_length=300)
    written_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    written_at = models.DateTimeField(auto_now=True)

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["code", "detail"]
        constraints = [models.UniqueConstraint(fields=["workshop", "code", "detail"], name="described_once")]

    def __str__(self) -> str:
        return self.words
