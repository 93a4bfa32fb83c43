"""Forms of booking in: the first look, what is asked, the customer, the car; and of a car in quarantine."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.vin import VinProblem, problems
from diagnostics.form_fields import FigureField
from diagnostics.kind import Figure
from diagnostics.models import SystemFamily
from jobs.forms import clean_codes
from jobs.models import Customer, DrivenWheels, Enquiry, Job, Triage, Vehicle
from network.form_fields import WholeField
from network.pictures import PicturesField

CUSTOMER = {"customer_name": "name", "customer_email": "email", "customer_phone": "phone"}
VEHICLE = ("description", "family", "registration", "vin", "odometer_km", "driven_wheels")
NOTED = (
    "triage", "complaint", "can_drive", "recalls", "warranty", "asked_note", "may_dismantle", "may_drive_live",
    "old_parts_back", "belongings",
)  # fmt: skip


class BookingForm(forms.Form):
    """Booking in, in the order in which it is asked: the first look before anything else."""

    triage = forms.MultipleChoiceField(
        label=gettext_lazy("First look: tick what you see, hear or smell"),
        choices=Triage,
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    customer_name = forms.CharField(label=gettext_lazy("Name of the owner"), max_length=120)
    customer_email = forms.EmailField(label=gettext_lazy("E-mail of the owner"), required=False)
    customer_phone = forms.CharField(label=gettext_lazy("Phone of the owner"), max_length=40, required=False)
    description = forms.CharField(label=gettext_lazy("Vehicle: maker, model, year"), max_length=120)
    family = forms.ModelChoiceField(
        label=gettext_lazy("System family"),
        queryset=SystemFamily.objects.none(),
        required=False,
        empty_label=gettext_lazy("not known yet"),
    )
    registration = forms.CharField(label=gettext_lazy("Registration"), max_length=20, required=False)
    vin = forms.CharField(label=gettext_lazy("VIN"), max_length=17, required=False)
    odometer_km = WholeField(label=gettext_lazy("Odometer, km"), min_value=0, max_value=3_000_000, required=False)
    complaint = forms.CharField(
        label=gettext_lazy("Complaint, in the owner's words"), max_length=2000, widget=forms.Textarea(attrs={"rows": 3})
    )
    codes = forms.CharField(
        label=gettext_lazy("Trouble codes as found"),
        required=False,
        max_length=400,
        help_text=gettext_lazy("For instance P0A94 P0A78-1C, parted by blanks. Longer lists and replies: on the job."),
    )
    can_drive = forms.ChoiceField(
        label=gettext_lazy("Does it drive"), choices=[("", "—"), *Enquiry.CanDrive.choices], required=False
    )
    driven_wheels = forms.ChoiceField(
        label=gettext_lazy("Driven wheels"),
        choices=[("", "—"), *DrivenWheels.choices],
        required=False,
        help_text=gettext_lazy("A car that can’t drive is moved with its driven wheels off the ground."),
    )
    recalls = forms.ChoiceField(label=gettext_lazy("Open recalls"), choices=Job.Recalls, required=False)
    warranty = forms.ChoiceField(
        label=gettext_lazy("The maker's battery warranty"),
        choices=Job.Warranty,
        required=False,
        help_text=gettext_lazy("Both are asked before work is sold: the maker may owe it."),
    )
    asked_note = forms.CharField(label=gettext_lazy("Which, and who said so"), max_length=200, required=False)
    may_dismantle = forms.BooleanField(
        label=gettext_lazy("The owner agrees that it is dismantled to find the cause"), required=False
    )
    may_drive_live = forms.BooleanField(
        label=gettext_lazy("The owner agrees to a road test with the high-voltage system live"), required=False
    )
    old_parts_back = forms.BooleanField(label=gettext_lazy("The owner wants old parts back"), required=False)
    belongings = forms.CharField(label=gettext_lazy("Belongings left in the car"), max_length=300, required=False)
    pictures = PicturesField(label=gettext_lazy("Photos: all sides, the lamps, the odometer"))

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["family"].queryset = SystemFamily.objects.all()  # type: ignore[attr-defined]
        self.fields["triage"].across = True  # type: ignore[attr-defined]

    def clean_vin(self) -> str:
        vin = self.cleaned_data["vin"].strip().upper()
        errors = [problem for problem in problems(vin=vin) if problem.severity == "error"] if vin else []
        if errors:
            raise ValidationError([problem.message for problem in errors])
        return vin

    def clean_codes(self) -> tuple[str, ...]:
        return clean_codes(self.cleaned_data["codes"])

    def clean_recalls(self) -> str:
        return self.cleaned_data["recalls"] or Job.Recalls.NOT_ASKED

    def clean_warranty(self) -> str:
        return self.cleaned_data["warranty"] or Job.Warranty.NOT_ASKED

    @property
    def of_customer(self) -> dict[str, Any]:
        return {name: self.cleaned_data[typed] for typed, name in CUSTOMER.items()}

    @property
    def of_vehicle(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in VEHICLE}

    @property
    def noted(self) -> dict[str, Any]:
        return {name: self.cleaned_data[name] for name in NOTED}

    def customer(self) -> Customer:
        return Customer(**self.of_customer)

    def vehicle(self) -> Vehicle:
        return Vehicle(**self.of_vehicle)


class ChangeForm(BookingForm):
    """What was booked in, to be changed; it carries the version that its reader saw."""

    seen = forms.IntegerField(widget=forms.HiddenInput, min_value=1, max_value=2_000_000_000)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        del self.fields["codes"]
        self.fields["triage"].help_text = _("What was once ticked stays. A mistake is mended by ending the quarantine.")


def from_enquiry(enquiry: Enquiry | None) -> dict[str, Any]:
    """The first values of a booking that comes of an enquiry; what the owner ticked must be looked at anew."""
    if enquiry is None:
        return {}
    return {
        "customer_name": enquiry.name,
        "customer_email": enquiry.email,
        "customer_phone": enquiry.phone,
        "description": enquiry.vehicle,
        "complaint": enquiry.symptom,
        "can_drive": enquiry.can_drive,
    }


def as_booked(job: Job) -> dict[str, Any]:
    """The values of a job as they stand, by the names of the form."""
    customer = {typed: getattr(job.vehicle.customer, name) for typed, name in CUSTOMER.items()}
    vehicle = {name: getattr(job.vehicle, name) for name in VEHICLE}
    return customer | vehicle | {name: getattr(job, name) for name in NOTED} | {"seen": job.version}


def remarks_on(vin: str) -> list[VinProblem]:
    """What is odd about a stored VIN without being wrong: outside North America the check digit is no duty."""
    return [problem for problem in problems(vin=vin) if problem.severity == "remark"] if vin else []


class TemperatureForm(forms.Form):
    celsius = FigureField(Figure(name="celsius", label=gettext_lazy("Temperature"), unit="°C", low=-60, high=1500))
    place = forms.CharField(
        label=gettext_lazy("Measured where"), max_length=80, help_text=gettext_lazy("For instance: floor, middle")
    )


class EndForm(forms.Form):
    words = forms.CharField(
        label=gettext_lazy("Why it may end: who decided, by which document, and what was looked at"),
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
