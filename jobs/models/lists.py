"""The workshop's own lists: what it does while fitting a kind of part, and what proves the repair afterwards."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from jobs.models.jobs import Job
from network.access import PrivateModel


class ListedStep(PrivateModel):
    """One step of a workshop's own list. While it has none for a part and a stage, the network's list holds."""

    class Stage(models.TextChoices):
        FITTING = "fitting", _("fitting")
        PROVING = "proving", _("proving")

    class How(models.TextChoices):
        """What meets the step."""

        WORDS = "words", _("signed, in words")
        TORQUE = "torque", _("signed, with torque and tool")
        RECORD = "record", _("a record that is within its limits")
        CODES = "codes", _("codes read again, none stored")
        OUTLOOK = "outlook", _("a capacity of the battery")

    part = models.CharField(max_length=20, choices=Job.Part)
    stage = models.CharField(max_length=7, choices=Stage)
    position = models.PositiveSmallIntegerField()
    code = models.SlugField(max_length=40)
    title = models.CharField(_("step"), max_length=80)
    ask = models.CharField(_("what is written down"), max_length=300, blank=True)
    how = models.CharField(_("met by"), max_length=7, choices=How)
    kinds = models.JSONField(_("kind of record"), default=list)  # codes of kinds, for `RECORD`
    dead = models.BooleanField(_("only while the car is proved dead"), default=False)
    waivable = models.BooleanField(_("may be waived, with reason and name"), default=True)

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["part", "stage", "position", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["workshop", "part", "stage", "code"], name="listed_once"),
            models.CheckConstraint(condition=~Q(title=""), name="listed_step_has_a_title"),
        ]

    def __str__(self) -> str:
        return self.title
