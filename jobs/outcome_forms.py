"""Forms of outcomes: sharing one, from a job or from the workshop's own books, following it, and judging another's."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.models import SystemFamily
from jobs.forms import clean_codes
from jobs.models import FollowUp, Job, Outcome, SignedEntry
from jobs.sharing import private_pieces
from network import private_text
from network.form_fields import CommaField, WholeField
from network.pictures import PicturesField


class StandsForm(forms.Form):
    """How a repair stands: each answer is a button of its own; day and odometer may stand as they are."""

    answer = forms.ChoiceField(
        choices=FollowUp.Answer.choices, error_messages={"required": gettext_lazy("Press one of the answers.")}
    )
    seen_on = forms.DateField(
        label=gettext_lazy("Seen, or came back, on"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    odometer_km = WholeField(
        label=gettext_lazy("Odometer, km"),
        help_text=gettext_lazy("Where you know it. It stays in your own records."),
        min_value=0,
        max_value=3_000_000,
        required=False,
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        kwargs.setdefault("initial", {"seen_on": timezone.localdate()})
        super().__init__(*args, **kwargs)

    def clean_seen_on(self) -> Any:
        day = self.cleaned_data["seen_on"]
        if day > timezone.localdate():
            raise ValidationError(_("This day lies ahead. Give the day on which it was seen, or came back."))
        return day


def part_numbers(text: str) -> list[str]:
    """Part numbers out of a text, parted by commas or lines; refuses what is too long or looks private."""
    found = [one.strip() for one in text.replace("\n", ",").replace(";", ",").split(",") if one.strip()]
    if any(len(one) > 40 for one in found):
        raise ValidationError(_("A part number has at most 40 signs. Part them by commas."))
    if any(not any(sign.isalnum() for sign in one) for one in found):
        raise ValidationError(_("A part number needs letters or figures."))
    pieces = [piece for one in found for piece in private_text.private_pieces(one, private_text.IN_A_NUMBER)]
    if pieces:
        raise ValidationError(
            _("Every member will read this. Write it without %(pieces)s."), params={"pieces": ", ".join(pieces)}
        )
    return list(dict.fromkeys(found))


def not_below_zero(hours: Any) -> Any:
    """Hours of work as typed, or nothing."""
    if hours is not None and hours < 0:
        raise ValidationError(_("Hours can't be below zero."))
    return hours


class EarlierForm(forms.ModelForm):
    """A repair from the workshop's own books, done before it worked with the portal."""

    family = forms.ModelChoiceField(
        label=gettext_lazy("System family"),
        queryset=SystemFamily.objects.none(),
        required=False,
        empty_label=gettext_lazy("not in the list"),
    )
    part_kind = forms.ChoiceField(label=gettext_lazy("Part that failed"), choices=Job.Part.choices)
    codes = forms.CharField(
        label=gettext_lazy("Trouble codes"),
        required=False,
        max_length=400,
        help_text=gettext_lazy("For instance P0A94 P0A78-1C, parted by blanks"),
    )
    parts = forms.CharField(
        label=gettext_lazy("Part numbers"), required=False, max_length=400, help_text=gettext_lazy("Parted by commas")
    )
    repaired_on = forms.DateField(
        label=gettext_lazy("Day of the handover"),
        help_text=gettext_lazy("Members see the month only."),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    known_as = forms.CharField(
        label=gettext_lazy("What you call this repair"),
        max_length=60,
        help_text=gettext_lazy("For you alone: the number in your books"),
    )
    odometer_km = WholeField(
        label=gettext_lazy("Odometer, km"),
        help_text=gettext_lazy("Members see it to the next 50 000 km."),
        min_value=0,
        max_value=3_000_000,
        required=False,
    )

    class Meta:
        model = Outcome
        fields = ["family", "part_kind", "symptom", "codes", "cause", "repair_method", "parts", "hours"]
        field_classes = {"hours": CommaField}
        widgets = {"symptom": forms.Textarea(attrs={"rows": 2}), "cause": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["family"].queryset = SystemFamily.objects.all()  # type: ignore[attr-defined]

    def clean_codes(self) -> tuple[str, ...]:
        return clean_codes(self.cleaned_data["codes"])

    def clean_parts(self) -> list[str]:
        return part_numbers(self.cleaned_data["parts"])

    def clean_hours(self) -> Any:
        return not_below_zero(self.cleaned_data["hours"])

    def clean_repaired_on(self) -> Any:
        day = self.cleaned_data["repaired_on"]
        if day > timezone.localdate():
            raise ValidationError(_("This day lies ahead. An outcome is of a repair that was handed over."))
        if day.year < 1990:
            raise ValidationError(_("Name a day since 1990."))
        return day

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or {}
        for name in ("symptom", "cause"):
            pieces = private_text.private_pieces(typed.get(name, ""))
            if pieces:
                self.add_error(
                    name,
                    ValidationError(
                        _("Every member will read this. Write it without %(pieces)s."),
                        params={"pieces": ", ".join(pieces)},
                    ),
                )
        return typed


class OutcomeForm(forms.ModelForm):
    """What the technician says of a finished job; the figures come from the sheet."""

    parts = forms.CharField(
        label=gettext_lazy("Part numbers"), required=False, max_length=400, help_text=gettext_lazy("Parted by commas")
    )
    pictures = PicturesField(
        most=6,
        help_text=gettext_lazy("JPEG, PNG or WebP; the position in them is removed. No registration, no face, no VIN."),
    )

    class Meta:
        model = Outcome
        fields = ["symptom", "cause", "repair_method", "hours"]
        field_classes = {"hours": CommaField}
        widgets = {"symptom": forms.Textarea(attrs={"rows": 2}), "cause": forms.Textarea(attrs={"rows": 3})}

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        self.job = job
        kwargs["initial"] = _first_words(job)
        super().__init__(*args, **kwargs)

    def clean_symptom(self) -> str:
        return self._without_private_pieces(self.cleaned_data["symptom"])

    def clean_cause(self) -> str:
        return self._without_private_pieces(self.cleaned_data["cause"])

    def clean_parts(self) -> list[str]:
        return part_numbers(self.cleaned_data["parts"])

    def clean_hours(self) -> Any:
        return not_below_zero(self.cleaned_data["hours"])

    def _without_private_pieces(self, text: str) -> str:
        found = private_pieces(self.job, text)
        if found:
            raise ValidationError(
                _("Every member will read this. Write it without %(pieces)s."), params={"pieces": ", ".join(found)}
            )
        return text


def _first_words(job: Job) -> dict[str, str]:
    """The cause as it was signed; the symptom is for the technician to say, the complaint is the owner's."""
    cause = SignedEntry.objects.filter(job=job, step=SignedEntry.Step.CAUSE).order_by("-signed_at").first()
    number = job.part_request.number if job.part_request else ""
    return {"cause": cause.words if cause else "", "parts": number}


class OpinionForm(forms.Form):
    """What another workshop says of an outcome, from repairs of its own."""

    confirms = forms.TypedChoiceField(
        label=gettext_lazy("From your own repairs"),
        choices=[
            ("", "—"),
            ("yes", gettext_lazy("we saw the same: it is confirmed")),
            ("no", gettext_lazy("we saw something else: it is contradicted")),
        ],
        coerce=lambda value: value == "yes",
    )
    words = forms.CharField(
        label=gettext_lazy("What you saw yourselves"), max_length=600, widget=forms.Textarea(attrs={"rows": 3})
    )

    def clean_words(self) -> str:
        words = self.cleaned_data["words"]
        if pieces := private_text.private_pieces(words):
            raise ValidationError(
                _("Every member will read this. Write it without %(pieces)s."), params={"pieces": ", ".join(pieces)}
            )
        return words


class TakeDownForm(forms.Form):
    reason = forms.CharField(
        label=gettext_lazy("Reason, which the workshop reads"),
        max_length=600,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
