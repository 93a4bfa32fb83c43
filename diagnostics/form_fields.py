"""Form fields for figures as they are read off a display: decimal comma or point, bounds, rows of figures."""

from __future__ import annotations

import math
import re
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from diagnostics import kind as declared
from diagnostics.kind import Value
from diagnostics.models import InstrumentRange
from diagnostics.recording import kept_meter
from diagnostics.units import OTHER_UNITS, parted

BOUND = re.compile(r"^\s*(?P<sign>[<>≥≤])\s*(?P<rest>.+)$")
OPEN = ("ol", "o.l", "o.l.", "of", "over")  # what displays show above their range
LONGEST = 40


def read_figure(text: str, unit: str = "") -> float:
    """A figure in `unit`, with decimal comma or point, any blanks between its digits, and perhaps another unit after
    it; raises ValidationError."""
    text, worth = parted(text, unit)
    plain = re.sub(r"[\s  '’]", "", text).replace("−", "-")
    if plain.count(",") == 1 and "." not in plain:
        plain = plain.replace(",", ".")
    if not re.fullmatch(r"[+-]?(\d{1,15}(\.\d{0,12})?|\.\d{1,12})([eE][+-]?\d{1,2})?", plain):
        raise ValidationError(
            _("“%(text)s” is not a figure. Type digits with one comma or point."), params={"text": text}
        )
    figure = float(Decimal(plain) * worth)  # in decimals: 93.6 milliohm are 0.0936 ohm, not 0.09359999999999999
    if not math.isfinite(figure):
        raise ValidationError(_("“%(text)s” is too large."), params={"text": text})
    return figure


def refuse_impossible(figure: float, declaration: declared.Figure | declared.Figures) -> None:
    """Raises ValidationError for a figure that can't be, whatever is measured."""
    low, high = declaration.low, declaration.high
    if (low is not None and figure < low) or (high is not None and figure > high):
        raise ValidationError(
            _("%(figure)s %(unit)s can't be: it should lie between %(low)s and %(high)s. Is the unit right?"),
            params={
                "figure": f"{figure:g}",
                "unit": declaration.unit,
                "low": "…" if low is None else f"{low:g}",
                "high": "…" if high is None else f"{high:g}",
            },
        )


class FigureField(forms.CharField):
    """One figure with its unit; where the kind allows it also a bound: "> 550", "< 0.01", "OL"."""

    reading: bool
    unit: str

    def __init__(self, declaration: declared.Figure, **kwargs: Any) -> None:
        self.declaration = declaration
        self.unit = declaration.unit
        self.reading = declaration.reading
        self.highest_of_range: float | None = None  # set by the form from the chosen instrument; gives OL its figure
        attrs = {"inputmode": "decimal", "autocomplete": "off", "enterkeyhint": "next", "data-keys": self._keys()}
        super().__init__(
            label=declaration.label,
            required=declaration.required,
            help_text=declaration.help,
            max_length=LONGEST,
            widget=forms.TextInput(attrs=attrs),
            **kwargs,
        )

    def _keys(self) -> str:
        """What a phone's keyboard for figures lacks: signs, and the other units that a display may show."""
        signs = ["OL", ">", "<"] if self.declaration.may_be_bound else []
        minus = ["−"] if self.declaration.low is None or self.declaration.low < 0 else []
        return " ".join((*signs, *minus, *OTHER_UNITS.get(self.unit, ())))

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        if not text:
            return None
        figure, bound = self._figure_and_bound(text)
        refuse_impossible(figure, self.declaration)
        return Value(figure, bound) if bound else figure

    def _figure_and_bound(self, text: str) -> tuple[float, str | None]:
        match = BOUND.match(text)
        is_open = text.strip().casefold() in OPEN
        if not (match or is_open):
            return read_figure(text, self.unit), None
        if not self.declaration.may_be_bound:
            raise ValidationError(_("A figure is needed here, not “%(text)s”."), params={"text": text})
        if match:
            return read_figure(match["rest"], self.unit), "at_least" if match["sign"] in ">≥" else "at_most"
        if self.highest_of_range is None:
            raise ValidationError(_("Choose the instrument's range, or type “>” and the highest figure it can show."))
        return self.highest_of_range, "at_least"

    def validate(self, value: Any) -> None:
        if value is None and self.required:
            raise ValidationError(self.error_messages["required"], code="required")

    def run_validators(self, value: Any) -> None:
        """The length and the NUL byte were looked at as text; the figure itself has its own bounds above."""

    def clean(self, value: Any) -> Any:
        if isinstance(value, str):
            super().run_validators(value)
        return super().clean(value)

    def prepare_value(self, value: Any) -> Any:
        """A stored value back as somebody would type it, for a correction."""
        if isinstance(value, Value):
            return f"{'>' if value.bound == 'at_least' else '<'} {value.figure:g}"
        return value


class RangeSelect(forms.Select):
    """The ranges of the workshop's instruments; each tells the script how many decimals its display shows."""

    def create_option(self, name: str, value: Any, *args: Any, **kwargs: Any) -> dict[str, Any]:
        option = super().create_option(name, value, *args, **kwargs)
        if used := getattr(value, "instance", None):
            exponent = Decimal(repr(used.resolution)).normalize().as_tuple().exponent
            option["attrs"]["data-decimals"] = max(0, -int(exponent))
        return option


class RangeField(forms.ModelChoiceField):
    """One range of one of the workshop's instruments, by what it measures; left out where none is entered yet."""

    widget = RangeSelect

    def __init__(self, *, unit: str, **kwargs: Any) -> None:
        ranges = InstrumentRange.objects.filter(unit=unit).select_related("instrument")
        super().__init__(queryset=ranges, required=False, empty_label=_("not entered yet"), **kwargs)


class MeterField(RangeField):
    """A second instrument of the workshop; cleaned to what the record keeps of it."""

    def __init__(self, declaration: declared.Meter, *, kind: str, **kwargs: Any) -> None:
        self.kind = kind
        super().__init__(unit=declaration.unit, label=declaration.label, help_text=declaration.help, **kwargs)

    def clean(self, value: Any) -> dict[str, Any] | None:
        used = super().clean(value)
        return kept_meter(used, kind=self.kind) if used else None

    def prepare_value(self, value: Any) -> Any:
        """What an earlier record keeps of an instrument, as the choice that it was, if the workshop still has it."""
        if isinstance(value, dict):
            same = InstrumentRange.objects.filter(unit=value["unit"], highest=value["highest"])
            named = same.filter(instrument__name=value["name"]).first()
            value = named and named.pk
        return super().prepare_value(value)


class FiguresField(forms.CharField):
    """A row of figures, typed or pasted, parted by blanks, semicolons or line ends."""

    def __init__(self, declaration: declared.Figures, **kwargs: Any) -> None:
        self.declaration = declaration
        self.unit = declaration.unit
        super().__init__(
            label=declaration.label,
            required=declaration.required,
            help_text=declaration.help,
            max_length=20 * declaration.most,
            widget=forms.Textarea(attrs={"rows": 4, "autocomplete": "off"}),
            **kwargs,
        )

    def clean(self, value: Any) -> Any:
        text = super().clean(value)
        parts = [part for part in re.split(r"[;\s]+", text) if part]
        if len(parts) > self.declaration.most:
            raise ValidationError(_("At most %(n)d figures."), params={"n": self.declaration.most})
        figures = tuple(read_figure(part) for part in parts)
        for figure in figures:
            refuse_impossible(figure, self.declaration)
        return figures

    def prepare_value(self, value: Any) -> Any:
        return " ".join(f"{one:g}" for one in value) if isinstance(value, tuple) else value
