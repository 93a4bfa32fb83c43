"""Forms of check resistors, and of one reading of them with a meter."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.checking import LIFTED_UNITS, fits
from diagnostics.forms import FiniteField
from diagnostics.models import CheckResistor, Instrument, InstrumentRange


class CheckResistorForm(forms.ModelForm):
    certified_value = FiniteField(label=gettext_lazy("Certified value"), min_value=1e-9)
    certified_uncertainty = FiniteField(
        label=gettext_lazy("Its uncertainty"),
        min_value=0,
        help_text=gettext_lazy("As the certificate states it, for k = 2, in the same unit."),
    )

    class Meta:
        model = CheckResistor
        fields = ["name", "serial", "unit", "certified_value", "certified_uncertainty", "certificate", "due"]
        widgets = {"due": forms.DateInput(attrs={"type": "date"})}

    def clean_name(self) -> str:
        name: str = self.cleaned_data["name"]
        if CheckResistor.objects.filter(name=name).exclude(pk=self.instance.pk).exists():
            raise ValidationError(_("Another check resistor of yours has this name. Use the name on its label."))
        return name

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        value, spread = cleaned.get("certified_value"), cleaned.get("certified_uncertainty")
        if value is not None and spread is not None and spread >= value:
            self.add_error("certified_uncertainty", _("It lies below the value itself. Is the unit right?"))
        return cleaned


class CheckForm(forms.Form):
    """Which range read which resistor, and what it showed."""

    instrument_range: Any = forms.ModelChoiceField(label=gettext_lazy("Range"), queryset=None, empty_label=None)
    resistor: Any = forms.ModelChoiceField(label=gettext_lazy("Check resistor"), queryset=None, empty_label=None)
    reading = FiniteField(
        label=gettext_lazy("It reads"),
        min_value=0,
        help_text=gettext_lazy("In the unit of the range, the test leads taken away or nulled."),
    )

    def __init__(self, *args: Any, instrument: Instrument, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        of_range: Any = self.fields["instrument_range"]
        of_resistor: Any = self.fields["resistor"]
        ranges = InstrumentRange.objects.filter(instrument=instrument, unit__in=LIFTED_UNITS)
        of_range.queryset = ranges.select_related("instrument")
        of_resistor.queryset = CheckResistor.objects.filter(unit__in=ranges.values("unit"))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        used, resistor = cleaned.get("instrument_range"), cleaned.get("resistor")
        if used and resistor and not fits(resistor, used):
            self.add_error(
                "resistor",
                _("This resistor doesn’t test this range: it has to lie in it, and above a tenth of its end."),
            )
        return cleaned
