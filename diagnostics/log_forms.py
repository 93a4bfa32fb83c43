"""Forms of a log: the upload, which column is what, and what was typed of clamp, cut-off and pulses."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.measurement_log.first_look import FirstLook
from diagnostics.forms import FiniteField
from diagnostics.log_reading import LARGEST

SIGNS = (
    ("positive", gettext_lazy("discharge is positive")),
    ("negative", gettext_lazy("discharge is negative")),
)
UNITS: dict[str, tuple[tuple[str, Any], ...]] = {
    "time": (
        ("s", gettext_lazy("seconds")),
        ("ms", gettext_lazy("milliseconds")),
        ("min", gettext_lazy("minutes")),
        ("h", gettext_lazy("hours")),
        ("clock", gettext_lazy("date or time of the day")),
    ),
    "voltage": (("V", "V"), ("mV", "mV"), ("kV", "kV")),
    "current": (("A", "A"), ("mA", "mA"), ("kA", "kA")),
}
NAMES = {
    "time": gettext_lazy("Time stands in"),
    "voltage": gettext_lazy("Voltage stands in"),
    "current": gettext_lazy("Current stands in"),
    "temperature": gettext_lazy("Temperature stands in"),
}
UNIT_NAMES = {
    "time": gettext_lazy("Time is in"),
    "voltage": gettext_lazy("Voltage is in"),
    "current": gettext_lazy("Current is in"),
}


class UploadForm(forms.Form):
    file = forms.FileField(
        label=gettext_lazy("File of the logger"),
        help_text=gettext_lazy(
            "CSV as it was written, up to 64 MB. It is kept as it is; which column is what is asked next."
        ),
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,.txt,.tsv,text/csv,text/plain"}),
    )

    def clean_file(self) -> UploadedFile:
        upload: UploadedFile = self.cleaned_data["file"]
        if upload.size is None or upload.size > LARGEST:
            raise ValidationError(_("The file is larger than 64 MB. Log fewer samples, or cut the log."))
        return upload


class ColumnsForm(forms.Form):
    """Which column is what: chosen among the headers that stand in the file."""

    def __init__(self, *args: Any, look: FirstLook, chosen: dict[str, Any], **kwargs: Any) -> None:
        self.look = look
        guess = {field: str(at) for field, at in look.positions.items()}
        guess |= {f"{field}_unit": _canonical(field, unit) for field, unit in look.units.items()}
        known = {name: str(value) for name, value in chosen.items() if value is not None}
        kwargs["initial"] = guess | {"discharge": "positive"} | known
        super().__init__(*args, **kwargs)
        columns = [(str(at), _column_words(look, at)) for at in range(len(look.header))]
        for field in ("time", "voltage", "current"):
            self.fields[field] = forms.ChoiceField(label=NAMES[field], choices=columns)
            self.fields[f"{field}_unit"] = forms.ChoiceField(label=UNIT_NAMES[field], choices=UNITS[field])
        self.fields["discharge"] = forms.ChoiceField(label=_("Sign of the current"), choices=SIGNS)
        self.fields["temperature"] = forms.ChoiceField(
            label=NAMES["temperature"],
            choices=[("", _("no column")), *columns],
            required=False,
            help_text=_("In degrees Celsius."),
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        named = [cleaned[field] for field in NAMES if cleaned.get(field)]
        if len(set(named)) < len(named):
            raise ValidationError(_("One column can’t hold two quantities. Choose another one for each."))
        return cleaned

    def columns(self) -> dict[str, Any]:
        """As they are kept and remembered."""
        typed = self.cleaned_data
        places = {field: int(typed[field]) if typed[field] else None for field in NAMES}
        units = {f"{field}_unit": typed[f"{field}_unit"] for field in UNITS}
        return {"header_line": self.look.header_line, "discharge": typed["discharge"], **places, **units}


def _canonical(field: str, unit: str) -> str:
    """The unit as the form's choices write it; the plain one where the file tells none or another."""
    choices = [value for value, _label in UNITS.get(field, ())]
    alike = [value for value in choices if value.casefold() == unit.casefold()]
    return alike[0] if alike else (choices[0] if choices else "")


def _column_words(look: FirstLook, at: int) -> str:
    """The header with an example from below it: “Voltage [V] (12.5)”."""
    words = look.header[at].strip()[:40] or _("column %(n)d") % {"n": at + 1}
    example = look.sample[at].strip()[:24] if at < len(look.sample) else ""
    return f"{words} ({example})" if example and example != words else words


class SettingsForm(forms.Form):
    """What the file can't tell: the clamp's zero, where the discharge ends, what counts as a pulse."""

    zero_before_a = FiniteField(label=gettext_lazy("Clamp zero before"), unit="A", required=False, min_value=-100)
    zero_after_a = FiniteField(
        label=gettext_lazy("Clamp zero after"),
        unit="A",
        required=False,
        min_value=-100,
        help_text=gettext_lazy(
            "As the log shows it without current. The mean is taken off, half the difference is told."
        ),
    )
    cut_off_v = FiniteField(label=gettext_lazy("Cut-off voltage"), unit="V", required=False, min_value=0)
    pulse_s = FiniteField(
        label=gettext_lazy("Pulse read after"), unit="s", required=False, min_value=0.01, max_value=600
    )
    step_a = FiniteField(label=gettext_lazy("A step is at least"), unit="A", required=False, min_value=0.001)
    quiet_a = FiniteField(label=gettext_lazy("At rest up to"), unit="A", required=False, min_value=0)
    discharge = forms.ChoiceField(label=gettext_lazy("Sign of the current"), choices=SIGNS)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        both = [cleaned.get(name) for name in ("zero_before_a", "zero_after_a")]
        if (both[0] is None) != (both[1] is None) and not self.errors:
            missing = "zero_after_a" if both[1] is None else "zero_before_a"
            self.add_error(missing, _("The zero is needed before and after: the clamp may have drifted in between."))
        return cleaned
