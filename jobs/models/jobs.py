"""A job: whose car, what is wrong, what was signed, and the sheet that its records stand on."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, ClassVar

from django.conf import settings
from django.db import models
from django.db.models import Q, Value
from django.db.models.functions import Replace
from django.utils import timezone
from django.utils.formats import number_format
from django.utils.translation import gettext_lazy as _

from diagnostics.models import Battery, Sheet, SystemFamily
from jobs.models.enquiries import Enquiry, new_nonce
from jobs.models.outcomes import Outcome
from network.access import PrivateManager as _PrivateManager
from network.access import PrivateModel, PrivateQuerySet
from network.models import Picture
from parts.models import PartRequest
from parts.numbers import normalise


class Customer(PrivateModel):
    name = models.CharField(_("name of the owner"), max_length=120)
    email = models.EmailField(_("e-mail of the owner"), blank=True)
    phone = models.CharField(_("phone of the owner"), max_length=40, blank=True)

    class Meta(PrivateModel.Meta):
        abstract = False

    def __str__(self) -> str:
        return self.name


class DrivenWheels(models.TextChoices):
    FRONT = "front", _("front")
    REAR = "rear", _("rear")
    ALL = "all", _("all four")


class Triage(models.TextChoices):
    """What the first look finds; any of it keeps the car outside and stops the work."""

    CRASH = "crash", _("crash")
    WATER = "water", _("was in water")
    SMOKE = "smoke", _("smoke")
    SMELL = "smell", _("smell, sweet or burnt")
    HEAT = "heat", _("heat at the battery")
    HISSING = "hissing", _("hissing or popping")


class Vehicle(PrivateModel):
    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="vehicles")
    description = models.CharField(_("vehicle: maker, model, year"), max_length=120)
    family = models.ForeignKey(SystemFamily, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    registration = models.CharField(_("registration"), max_length=20, blank=True)
    vin = models.CharField(_("VIN"), max_length=17, blank=True)
    odometer_km = models.PositiveIntegerField(_("odometer"), null=True, blank=True)
    battery = models.ForeignKey(Battery, on_delete=models.PROTECT, null=True, editable=False, related_name="+")
    driven_wheels = models.CharField(_("driven wheels"), max_length=5, choices=DrivenWheels, blank=True)

    class Meta(PrivateModel.Meta):
        abstract = False

    def __str__(self) -> str:
        return self.description


class JobQuerySet(PrivateQuerySet):
    def on_the_bench(self) -> JobQuerySet:
        """Drops those that were handed over."""
        return self.filter(handed_over_at__isnull=True)

    def with_facts(self) -> JobQuerySet:
        """With what the page, the report and the estimate of a job show; drops none."""
        return self.select_related(
            "vehicle__customer",
            "vehicle__family",
            "vehicle__battery",
            "sheet__family",
            "part_request",
            "outcome",
            "enquiry",
        )

    def search(self, text: str) -> JobQuerySet:
        """Those whose number, registration, VIN, customer, code or part number holds the text. Drops all others."""
        # A registration is told with and without its blanks and dashes.
        plain = Replace(Replace("vehicle__registration", Value("-"), Value("")), Value(" "), Value(""))
        return self.alias(registration=plain).filter(
            Q(number__startswith=text)
            | Q(vehicle__registration__icontains=text)
            | Q(registration__icontains=normalise(number=text) or "-")
            | Q(vehicle__vin__icontains=text)
            | Q(vehicle__description__icontains=text)
            | Q(vehicle__customer__name__icontains=text)
            | Q(pk__in=_jobs_with_code(text))
            | Q(part_request__normalised__startswith=normalise(number=text) or "-")
        )


def _jobs_with_code(text: str) -> Any:
    from jobs.models.codes import JobCode

    return JobCode.objects.filter(code__startswith=text.upper()).values("job")


class JobManager(_PrivateManager.from_queryset(JobQuerySet)):  # type: ignore[misc]
    """The acting workshop's jobs."""


class Job(PrivateModel):
    class Part(models.TextChoices):
        """What is to be fitted; each has its list of requirements in `jobs/requirements/`."""

        INVERTER = "inverter", _("inverter")
        MACHINE = "machine", _("electric machine")
        TRACTION_BATTERY = "traction_battery", _("traction battery")
        DC_CONVERTER = "dc_converter", _("DC converter")
        CABIN_COMPRESSOR = "cabin_compressor", _("cabin compressor")
        CHARGER = "charger", _("charger")
        OTHER = "other", _("high-voltage part")

    class Recalls(models.TextChoices):
        NOT_ASKED = "not_asked", _("not asked yet")
        NONE_OPEN = "none_open", _("asked: none open")
        OPEN = "open", _("asked: one is open")

    class Warranty(models.TextChoices):
        NOT_ASKED = "not_asked", _("not asked yet")
        RUNNING = "running", _("asked: it may still run")
        OVER = "over", _("asked: it is over")

    number = models.CharField(max_length=12, editable=False)
    enquiry = models.OneToOneField(Enquiry, on_delete=models.PROTECT, null=True, related_name="job")
    vehicle = models.ForeignKey(Vehicle, on_delete=models.PROTECT, related_name="jobs")
    sheet = models.OneToOneField(Sheet, on_delete=models.PROTECT, related_name="job")
    odometer_km = models.PositiveIntegerField(_("odometer at booking in"), null=True, editable=False)
    complaint = models.TextField(_("complaint, in the owner's words"), max_length=2000)
    triage = models.JSONField(_("first look"), default=list)  # values of `Triage`
    quarantine_ended_at = models.DateTimeField(null=True)
    recalls = models.CharField(_("open recalls"), max_length=9, choices=Recalls, default=Recalls.NOT_ASKED)
    warranty = models.CharField(
        _("the maker's battery warranty"), max_length=9, choices=Warranty, default=Warranty.NOT_ASKED
    )
    asked_note = models.CharField(_("which, who said so"), max_length=200, blank=True)
    can_drive = models.CharField(_("does it drive"), max_length=6, choices=Enquiry.CanDrive, blank=True)
    may_dismantle = models.BooleanField(_("the owner agrees that it is dismantled to find the cause"), default=False)
    may_drive_live = models.BooleanField(
        _("the owner agrees to a road test with the high-voltage system live"), default=False
    )
    old_parts_back = models.BooleanField(_("the owner wants old parts back"), default=False)
    belongings = models.CharField(_("belongings left in the car"), max_length=300, blank=True)
    pictures = models.ManyToManyField(Picture, related_name="+")
    version = models.PositiveIntegerField(default=1, editable=False)  # of what was booked in, for two who change it
    part = models.CharField(_("part to be fitted"), max_length=20, choices=Part, default=Part.INVERTER)
    part_request = models.ForeignKey(PartRequest, on_delete=models.PROTECT, null=True, related_name="+")
    outcome = models.OneToOneField(Outcome, on_delete=models.PROTECT, null=True, related_name="+")
    booked_in_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    booked_in_at = models.DateTimeField(default=timezone.now)
    cleared = models.JSONField(null=True, editable=False)  # how each requirement stood at handover
    cleared_at = models.DateTimeField(null=True, editable=False)  # when fitting began
    handed_over_at = models.DateTimeField(null=True)
    battery_told = models.JSONField(null=True, editable=False)  # what the report said of the battery at handover
    nonce = models.CharField(max_length=20, default=new_nonce, editable=False)  # of the owner's private link

    objects: ClassVar[Any] = JobManager()

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["-booked_in_at"]
        constraints = [models.UniqueConstraint(fields=["workshop", "number"], name="job_number_once")]

    def __str__(self) -> str:
        return self.number

    @property
    def second_looks(self) -> Any:
        """What colleagues elsewhere were asked about it, with whom."""
        return self.looks.select_related("look__colleague__person", "look__colleague__workshop")

    @property
    def damaged(self) -> bool:
        """The first look found something that keeps the car outside."""
        return bool(self.triage)

    @property
    def in_quarantine(self) -> bool:
        return self.damaged and self.quarantine_ended_at is None

    @property
    def recalls_asked(self) -> bool:
        return self.recalls != self.Recalls.NOT_ASKED and self.warranty != self.Warranty.NOT_ASKED


class WatchedTemperature(PrivateModel):
    """One reading of a car that stands outside, apart from others, because of what the first look found."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="temperatures")
    celsius = models.FloatField(_("temperature"))
    place = models.CharField(_("measured where"), max_length=80)
    taken_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    taken_at = models.DateTimeField(default=timezone.now)

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["taken_at", "pk"]

    def __str__(self) -> str:
        return f"{self.celsius:g} °C"


class SignedEntry(PrivateModel):
    """What no instrument can show, signed by a person: the maker's procedure, cause, connectors dry, fitting, handover.

    Entries are only added; the newest of a step counts.
    """

    class Step(models.TextChoices):
        MAKERS_PROCEDURE = "makers_procedure", _("Maker's procedure")
        CAUSE = "cause", _("Cause named")
        FITTED = "fitted", _("Fitted")
        PROVED = "proved", _("Proved")
        HANDED_OVER = "handed_over", _("Handed over")
        QUARANTINE_ENDED = "quarantine_ended", _("Quarantine ended")

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="entries")
    step = models.CharField(max_length=40)  # one of `Step`, or the code of a requirement that is met by an entry
    title = models.CharField(max_length=80, blank=True)  # as the list called it, which may be the workshop's own
    torque_nm = models.FloatField(_("torque"), null=True)
    tool = models.CharField(_("torque tool"), max_length=80, blank=True)
    good = models.BooleanField(default=True)  # False: looked at, and it does not meet what is asked
    words = models.TextField(max_length=2000)
    signed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    signed_at = models.DateTimeField(default=timezone.now)

    class Meta(PrivateModel.Meta):
        abstract = False
        ordering = ["signed_at", "pk"]
        indexes = [models.Index(fields=["job", "step"], name="entry_of_step")]
        constraints = [
            models.CheckConstraint(condition=~Q(words="", torque_nm=None), name="entry_says_something"),
            models.CheckConstraint(
                condition=Q(torque_nm=None) | (Q(torque_nm__gt=0) & ~Q(tool="")), name="torque_names_its_tool"
            ),
        ]

    def __str__(self) -> str:
        return self.step

    @property
    def found(self) -> str:
        """What was written, with the torque first where one was kept to."""
        if self.torque_nm is None:
            return self.words
        torque = number_format(Decimal(f"{self.torque_nm:g}"), use_l10n=True)
        said = _("%(torque)s N·m with %(tool)s") % {"torque": torque, "tool": self.tool}
        return f"{said}: {self.words}" if self.words else said
