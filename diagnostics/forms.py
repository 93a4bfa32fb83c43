"""Forms of sheets, instruments, families and limits. The form of a record is `record_form.py`."""

from __future__ import annotations

import math
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.kinds import all_kinds
from diagnostics.models import (
    ExpectedReading,
    FamilyLimit,
    Instrument,
    InstrumentRange,
    SharedSheet,
    Sheet,
    SystemFamily,
)
from network.form_fields import WholeField
from network.private_text import private_pieces

SHEETS_TO_MEASURE_ON = 30  # the newest ones


class FiniteField(forms.FloatField):
    """A figure for a setting: decimal comma allowed, no infinity, within what a meter could ever show."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})

    def __init__(self, *, unit: str = "", **kwargs: Any) -> None:
        self.unit = unit
        super().__init__(max_value=kwargs.pop("max_value", 1e9), **kwargs)

    def to_python(self, value: Any) -> Any:
        text = str(value).strip().replace(",", ".") if value is not None else ""
        figure = super().to_python(text)
        if figure is not None and not math.isfinite(figure):
            raise ValidationError(_("Type a figure."))
        return figure


class SheetForm(forms.ModelForm):
    class Meta:
        model = Sheet
        fields = ["title", "family", "part_kind", "part_number", "part_serial", "occasion"]


class PartForm(forms.Form):
    """A part by its plate: either of the two finds it."""

    number = forms.CharField(label=gettext_lazy("Part number"), max_length=40, required=False)
    serial = forms.CharField(label=gettext_lazy("Serial number"), max_length=60, required=False)


class ShareSheetForm(forms.Form):
    """What a shared copy is called, and how much of the serial number it shows."""

    title = forms.CharField(
        label=gettext_lazy("Call it"),
        max_length=120,
        help_text=gettext_lazy("Every member reads this: no name, registration or VIN."),
    )
    serial = forms.ChoiceField(
        label=gettext_lazy("Show of the serial number"),
        choices=SharedSheet.Serial,
        help_text=gettext_lazy("Whole: sheets of the same part in other workshops are found beside it."),
    )

    def __init__(self, *args: Any, sheet: Sheet, **kwargs: Any) -> None:
        self.sheet = sheet
        # A sheet of a car is called what its owner's car is called: another title is asked for.
        kwargs["initial"] = {"title": sheet.title if sheet.part_serial else ""} | kwargs.get("initial", {})
        super().__init__(*args, **kwargs)
        if not sheet.part_serial:
            del self.fields["serial"]

    def clean_title(self) -> str:
        title = " ".join(self.cleaned_data["title"].split())
        pieces = private_pieces(title)
        if pieces:
            raise ValidationError(
                _("Other workshops read this. Write it without %(pieces)s."), params={"pieces": ", ".join(pieces)}
            )
        return title

    def chosen(self) -> dict[str, str]:
        serial = self.cleaned_data.get("serial") or SharedSheet.Serial.SHORTENED
        return {"title": self.cleaned_data["title"], "serial": serial}


class VerifyForm(forms.Form):
    hash = forms.RegexField(
        label=gettext_lazy("Hash as printed at the end of the sheet"),
        regex=r"^[0-9a-f]{64}$",
        error_messages={"invalid": gettext_lazy("A hash has 64 characters, each 0 to 9 or a to f. Copy it whole.")},
    )

    def clean(self) -> dict[str, Any]:
        return super().clean() or {}


class InstrumentForm(forms.ModelForm):
    class Meta:
        model = Instrument
        fields = ["name", "serial", "calibration_due"]
        widgets = {"calibration_due": forms.DateInput(attrs={"type": "date"})}

    def clean_name(self) -> str:
        name = self.cleaned_data["name"]
        if Instrument.objects.filter(name=name).exclude(pk=self.instance.pk).exists():
            raise ValidationError(_("Another instrument of yours has this name. Use the name on its label."))
        return name


class MeasureForm(forms.Form):
    """Where an instrument is used next: on which sheet, for which kind of record that asks for what it measures."""

    sheet: Any = forms.ModelChoiceField(label=gettext_lazy("On the sheet"), queryset=None, empty_label=None)
    kind = forms.ChoiceField(label=gettext_lazy("Measure"))

    def __init__(self, *args: Any, instrument: Instrument, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        units = set(instrument.ranges.values_list("unit", flat=True))
        sheets: Any = self.fields["sheet"]
        newest = Sheet.objects.order_by("-pk")[:SHEETS_TO_MEASURE_ON]
        sheets.queryset = Sheet.objects.filter(pk__in=[sheet.pk for sheet in newest]).order_by("-pk")
        kinds: Any = self.fields["kind"]
        kinds.choices = [(kind.code, kind.title) for kind in all_kinds().values() if units & kind.units]


class RangeForm(forms.ModelForm):
    highest = FiniteField(label=gettext_lazy("Range up to"), min_value=1e-9)
    percent_of_reading = FiniteField(
        label=gettext_lazy("Accuracy: percent of reading"), unit="%", min_value=0, max_value=100
    )
    counts = FiniteField(label=gettext_lazy("Accuracy: plus so many counts"), min_value=0, max_value=1e5)
    resolution = FiniteField(
        label=gettext_lazy("One count is worth"), min_value=1e-9,
        help_text=gettext_lazy("the last digit of the display in this range, in its unit: 0.1"),
    )  # fmt: skip

    class Meta:
        model = InstrumentRange
        fields = ["unit", "highest", "percent_of_reading", "counts", "resolution"]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        instrument = getattr(self.instance, "instrument_id", None)
        if instrument and "highest" in cleaned and "unit" in cleaned:
            same = InstrumentRange.objects.filter(
                instrument=instrument, unit=cleaned["unit"], highest=cleaned["highest"]
            )
            if same.exists():
                self.add_error("highest", _("This range is entered already."))
        return cleaned


class FamilyForm(forms.ModelForm):
    nominal_v = FiniteField(
        label=gettext_lazy("Nominal voltage of the traction battery"), unit="V", min_value=1, max_value=2000
    )
    highest_working_v = FiniteField(
        label=gettext_lazy("Highest working voltage, boost included"), unit="V", min_value=1, max_value=2000
    )
    rated_ah = FiniteField(label=gettext_lazy("Rated capacity"), unit="Ah", min_value=0.1, max_value=2000)
    blocks = WholeField(label=gettext_lazy("Blocks or cells in a row"), min_value=1, max_value=2000)
    machines = WholeField(label=gettext_lazy("Electric machines in the car"), min_value=1, max_value=4, initial=1)

    class Meta:
        model = SystemFamily
        fields = [
            "maker", "name", "drive", "nominal_v", "highest_working_v", "chemistry", "blocks", "rated_ah",
            "machines", "machine_type", "connection",
        ]  # fmt: skip

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        nominal, highest = cleaned.get("nominal_v"), cleaned.get("highest_working_v")
        if nominal and highest and highest < nominal:
            self.add_error("highest_working_v", _("It can't be below the nominal voltage. Include the boost."))
        known = SystemFamily.objects.filter(
            maker__iexact=cleaned.get("maker", ""), name__iexact=cleaned.get("name", "")
        )
        if known.exists():
            self.add_error("name", _("This family is entered already; look it up and add to it."))
        return cleaned


def limitable() -> list[tuple[str, list[tuple[str, str]]]]:
    """What a limit can be entered for: each kind with its quantities, as grouped choices."""
    return [
        (
            str(kind.title),
            [
                (f"{kind.code}:{quantity}", f"{kind.quantities[quantity]} ({unit})")
                for quantity, (_s, unit) in kind.limitable.items()
            ],
        )
        for kind in all_kinds().values()
        if kind.limitable
    ]


class LimitForm(forms.ModelForm):
    what = forms.ChoiceField(label=gettext_lazy("Limit for"), choices=limitable)
    value = FiniteField(label=gettext_lazy("Limit, or lower end of the range"), min_value=-1e9)
    upper = FiniteField(label=gettext_lazy("Upper end, where it is a range"), required=False, min_value=-1e9)

    class Meta:
        model = FamilyLimit
        fields = ["what", "value", "upper", "authority", "source"]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        code, _colon, quantity = cleaned.get("what", "").partition(":")
        kind = all_kinds().get(code)
        if kind is None or quantity not in kind.limitable:
            return cleaned
        shape, unit = kind.limitable[quantity]
        self.instance.kind, self.instance.quantity = code, quantity
        self.instance.shape, self.instance.unit = shape, unit
        value, upper = cleaned.get("value"), cleaned.get("upper")
        if shape == FamilyLimit.Shape.RANGE and (upper is None or value is None or upper <= value):
            self.add_error("upper", _("This limit is a range: its upper end lies above its lower end."))
        if shape != FamilyLimit.Shape.RANGE and upper is not None:
            self.add_error("upper", _("This limit has one end only: leave this field empty."))
        return cleaned


def expectable() -> list[tuple[str, list[tuple[str, str]]]]:
    """What an expected reading can be entered for: each kind with what it judges and what is typed of it."""
    return [
        (
            str(kind.title),
            [(f"{kind.code}:{code}", f"{kind.name_of(code)} ({unit})") for code, unit in kind.expectable.items()],
        )
        for kind in all_kinds().values()
        if kind.expectable
    ]


class ExpectedForm(forms.ModelForm):
    what = forms.ChoiceField(label=gettext_lazy("Expected for"), choices=expectable)
    typical = FiniteField(label=gettext_lazy("Typical value"), min_value=-1e9)
    low = FiniteField(label=gettext_lazy("Usually not below"), min_value=-1e9)
    high = FiniteField(label=gettext_lazy("Usually not above"), min_value=-1e9)

    class Meta:
        model = ExpectedReading
        fields = ["what", "typical", "low", "high", "source"]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        code, _colon, quantity = cleaned.get("what", "").partition(":")
        kind = all_kinds().get(code)
        if kind and quantity in kind.expectable:
            self.instance.kind, self.instance.quantity = code, quantity
            self.instance.unit = kind.expectable[quantity]
        figures = [cleaned[name] for name in ("low", "typical", "high") if cleaned.get(name) is not None]
        if len(figures) == 3 and (figures != sorted(figures) or figures[0] == figures[2]):
            self.add_error("typical", _("It lies between the two others, and these differ."))
        return cleaned
