"""Bays: the places in the workshop where a car stands, each with a label that opens what stands there."""

from __future__ import annotations

from django.db import models
from django.utils.translation import gettext_lazy as _

from jobs.models.jobs import Job
from network.access import PrivateModel


class Bay(PrivateModel):
    name = models.CharField(_("name on the label"), max_length=40)
    # Whose car stands in it. A job that was handed over stands nowhere: it is left here until another comes in.
    job = models.OneToOneField(Job, on_delete=models.PROTECT, null=True, related_name="bay")

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["name"]
        constraints = [models.UniqueConstraint(fields=["workshop", "name"], name="bay_once")]

    def __str__(self) -> str:
        return self.name

    @property
    def open_job(self) -> Job | None:
        """The job whose car stands here now."""
        return self.job if self.job and self.job.handed_over_at is None else None
