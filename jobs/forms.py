"""Forms of enquiries, jobs and signed entries."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.vin import problems
from diagnostics.models import SystemFamily
from jobs.models import Customer, Enquiry, Vehicle

CODE = re.compile(r"^[PCBU][0-3][0-9A-F]{3}(-[0-9A-F]{2})?$")  # ISO 15031-6, with the failure type of ISO 14229


class EnquiryForm(forms.ModelForm):
    """What an owner sends without an account."""

    consent = forms.BooleanField(
        label=gettext_lazy("This workshop may keep what I typed here, to answer me and to do the work"),
        error_messages={"required": gettext_lazy("Without this the workshop may not read your enquiry.")},
    )
    # Left empty by people, filled in by programs that fill in everything.
    website = forms.CharField(label="", required=False, widget=forms.HiddenInput)

    class Meta:
        model = Enquiry
        fields = ["work_wanted", "vehicle", "symptom", "lamps", "can_drive", "damaged", "name", "email", "phone"]
        widgets = {"symptom": forms.Textarea(attrs={"rows": 4})}

    def clean_website(self) -> str:
        if self.cleaned_data["website"]:
            raise ValidationError(_("This form was filled in by a program."))
        return ""


class ReplyForm(forms.Form):
    answer = forms.CharField(
        label=gettext_lazy("Your answer to the owner"), max_length=2000, widget=forms.Textarea(attrs={"rows": 4})
    )


class BookingForm(forms.Form):
    """Booking in: the customer, the car, the complaint in the owner's words, and what is asked first."""

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
    odometer_km = forms.IntegerField(
        label=gettext_lazy("Odometer, km"), min_value=0, max_value=3_000_000, required=False
    )
    complaint = forms.CharField(
        label=gettext_lazy("Complaint, in the owner's words"), max_length=2000, widget=forms.Textarea(attrs={"rows": 3})
    )
    codes = forms.CharField(
        label=gettext_lazy("Trouble codes as found"),
        required=False,
        max_length=400,
        help_text=gettext_lazy("For instance P0A94 P0A78-1C, parted by blanks"),
    )
    damaged = forms.BooleanField(label=gettext_lazy("Crash, flood, smoke or smell"), required=False)
    recalls_asked = forms.BooleanField(
        label=gettext_lazy("Open recalls and the maker's battery warranty were asked"), required=False
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["family"].queryset = SystemFamily.objects.all()  # type: ignore[attr-defined]

    def clean_vin(self) -> str:
        vin = self.cleaned_data["vin"].strip().upper()
        errors = [problem for problem in problems(vin=vin) if problem.severity == "error"] if vin else []
        if errors:
            raise ValidationError([problem.message for problem in errors])
        return vin

    def clean_codes(self) -> tuple[str, ...]:
        return clean_codes(self.cleaned_data["codes"])

    def customer(self) -> Customer:
        typed = self.cleaned_data
        return Customer(name=typed["customer_name"], email=typed["customer_email"], phone=typed["customer_phone"])

    def vehicle(self) -> Vehicle:
        names = ("description", "family", "registration", "vin", "odometer_km")
        return Vehicle(**{name: self.cleaned_data[name] for name in names})


def clean_codes(text: str) -> tuple[str, ...]:
    """Trouble codes out of a line of text, each once; names the first word that isn't one."""
    words = [word for word in re.split(r"[\s,;]+", text.upper()) if word]
    for word in words:
        if not CODE.match(word):
            raise ValidationError(
                _("“%(word)s” is not a trouble code. A code is a letter P, C, B or U, a digit 0 to 3 and three more."),
                params={"word": word},
            )
    return tuple(dict.fromkeys(words))


class EntryForm(forms.Form):
    """One signed entry: what was seen or done, and whether it is good."""

    words = forms.CharField(label="", max_length=2000, widget=forms.Textarea(attrs={"rows": 3}))
    good = forms.TypedChoiceField(
        label=gettext_lazy("It is"),
        choices=[("yes", gettext_lazy("good: it meets what is asked")), ("no", gettext_lazy("not good"))],
        coerce=lambda value: value == "yes",
        initial="yes",
    )

    def __init__(self, *args: Any, ask: Any, judged: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["words"].label = ask
        if not judged:
            del self.fields["good"]
