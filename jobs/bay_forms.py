"""Forms of bays and of sheets of labels."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.labels import parts_of
from diagnostics.models import Instrument
from jobs.models import Bay, Job


class BayForm(forms.ModelForm):
    class Meta:
        model = Bay
        fields = ["name"]

    def clean_name(self) -> str:
        name: str = self.cleaned_data["name"]
        if Bay.objects.filter(name=name).exists():
            raise ValidationError(_("Another bay of yours has this name."))
        return name


class StandsForm(forms.Form):
    """Which of the open jobs stands in a bay."""

    job: Any = forms.ModelChoiceField(label=gettext_lazy("Job"), queryset=None, empty_label=None)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field: Any = self.fields["job"]
        field.queryset = Job.objects.on_the_bench().select_related("vehicle")
        field.label_from_instance = lambda job: f"{job.number}, {job.vehicle}"


class LabelsForm(forms.Form):
    """What labels are printed for, and on which paper."""

    instruments: Any = forms.ModelMultipleChoiceField(
        label=gettext_lazy("Instruments"), queryset=None, required=False, widget=forms.CheckboxSelectMultiple
    )
    bays: Any = forms.ModelMultipleChoiceField(
        label=gettext_lazy("Bays"), queryset=None, required=False, widget=forms.CheckboxSelectMultiple
    )
    parts: Any = forms.MultipleChoiceField(
        label=gettext_lazy("Parts that have a sheet"), required=False, widget=forms.CheckboxSelectMultiple
    )
    number = forms.CharField(label=gettext_lazy("Another part: its number"), max_length=40, required=False)
    serial = forms.CharField(label=gettext_lazy("and its serial number"), max_length=60, required=False)
    paper = forms.ChoiceField(
        label=gettext_lazy("Paper"),
        choices=(("a4", gettext_lazy("A4, to be cut")), ("single", gettext_lazy("a roll of labels, 60 × 32 mm"))),
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        instruments: Any = self.fields["instruments"]
        instruments.queryset = Instrument.objects.all()
        bays: Any = self.fields["bays"]
        bays.queryset = Bay.objects.all()
        parts: Any = self.fields["parts"]
        parts.choices = [(str(sheet.pk), f"{sheet.part_number} {sheet.part_serial}".strip()) for sheet in parts_of()]
        for name in ("instruments", "bays", "parts"):
            choices: Any = self.fields[name]
            if not list(choices.choices):
                del self.fields[name]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if not self.errors and not any(cleaned.get(name) for name in ("instruments", "bays", "parts", "serial")):
            raise ValidationError(_("Choose at least one thing that gets a label. A part needs its serial number."))
        return cleaned
