"""The cause of a job with its evidence, and marks on photos."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from diagnostics.models import Record
from jobs.models.jobs import Job, SignedEntry
from network.access import PrivateModel
from network.models import Picture


class Cause(PrivateModel):
    """What failed, and what made it fail, beside the entry that it was signed with. The newest counts."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="causes")
    entry = models.OneToOneField(SignedEntry, on_delete=models.PROTECT, related_name="cause")
    failed_part = models.CharField(_("failed part"), max_length=120)
    made_it_fail = models.TextField(_("what made it fail"), max_length=1500)
    evidence = models.ManyToManyField(Record, related_name="+")
    # An earlier job of this workshop on the same car, whose repair did not last.
    repeat_of = models.ForeignKey(Job, on_delete=models.PROTECT, null=True, related_name="came_back")

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.failed_part


class PictureMark(PrivateModel):
    """A numbered mark on a photo: where, in per cent of its width and height, and what is there."""

    picture = models.ForeignKey(Picture, on_delete=models.PROTECT, related_name="marks")
    x = models.FloatField(_("from the left"))
    y = models.FloatField(_("from the top"))
    words = models.CharField(_("what is there"), max_length=120)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(x__gte=0, x__lte=100, y__gte=0, y__lte=100), name="mark_on_the_picture")
        ]

    def __str__(self) -> str:
        return self.words
