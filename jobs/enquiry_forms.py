"""Forms of enquiries: what an owner sends without an account, and how the workshop answers."""

from __future__ import annotations

import datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.models import Enquiry
from network.pictures import PicturesField

DATES_OFFERED = 3
MOST_PICTURES = 4  # of a stranger, each up to 15 MB


class EnquiryForm(forms.ModelForm):
    """What an owner sends without an account."""

    pictures = PicturesField(
        most=MOST_PICTURES, label=gettext_lazy("Photos: the car, the lamps, the odometer (four at most)")
    )
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

    field_order = [*Meta.fields[:6], "pictures", *Meta.fields[6:], "consent"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["work_wanted"].help_text = _("Not sure? Choose “General diagnosis”.")
        for name in ("lamps", "pictures", "phone"):
            self.fields[name].note = _("may stay empty")  # type: ignore[attr-defined]

    def clean_website(self) -> str:
        if self.cleaned_data["website"]:
            raise ValidationError(_("This form was filled in by a program."))
        return ""


class ReplyForm(forms.Form):
    """The workshop's answer, with up to three moments when it has time for a first look."""

    answer = forms.CharField(
        label=gettext_lazy("Your answer to the owner"), max_length=2000, widget=forms.Textarea(attrs={"rows": 4})
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for number in range(1, DATES_OFFERED + 1):
            self.fields[f"date_{number}"] = forms.DateTimeField(
                label=_("Time for a first look, choice %(n)d") % {"n": number},
                required=False,
                widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
            )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for name in self.date_names:
            moment = cleaned.get(name)
            if moment and not timezone.now() < moment < timezone.now() + datetime.timedelta(days=366):
                self.add_error(name, _("Name a time within the next year."))
        return cleaned

    @property
    def date_names(self) -> list[str]:
        return [name for name in self.fields if name.startswith("date_")]

    @property
    def dates(self) -> list[datetime.datetime]:
        return [moment for name in self.date_names if (moment := self.cleaned_data.get(name))]

    @staticmethod
    def first_values(enquiry: Enquiry) -> dict[str, Any]:
        """What was answered and offered before."""
        offered = {f"date_{number}": timezone.localtime(moment) for number, moment in enumerate(enquiry.dates, 1)}
        return {"answer": enquiry.answer} | offered
