"""Forms of a battery's page: since when it is in use, and a capacity that was found before."""

from __future__ import annotations

import datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.forms import FiniteField
from diagnostics.models import Battery, EarlierCapacity
from network.form_fields import WholeField

DAY = {"type": "date"}
EARLIEST = datetime.date(1990, 1, 1)  # before it no car of this kind was sold
FARTHEST_KM = 3_000_000


def possible_day(day: datetime.date) -> None:
    """A day that has been, and on which there were such cars."""
    if not EARLIEST <= day <= timezone.localdate():
        raise ValidationError(_("Type a day between 1990 and today."))


class BatteryForm(forms.ModelForm):
    in_use_since = forms.DateField(
        label=gettext_lazy("In use since"),
        help_text=gettext_lazy("First registration of the car, or the day on which this battery was fitted new."),
        widget=forms.DateInput(attrs=DAY, format="%Y-%m-%d"),
        validators=[possible_day],
    )
    km_when_new = WholeField(
        label=gettext_lazy("Odometer when it was new"),
        min_value=0,
        max_value=FARTHEST_KM,
        initial=0,
        help_text=gettext_lazy("0, unless the battery was exchanged."),
    )

    class Meta:
        model = Battery
        fields = ["in_use_since", "km_when_new"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["km_when_new"].unit = "km"  # type: ignore[attr-defined]


class EarlierForm(forms.ModelForm):
    found_on = forms.DateField(
        label=gettext_lazy("Found on"),
        widget=forms.DateInput(attrs=DAY, format="%Y-%m-%d"),
        validators=[possible_day],
    )
    odometer_km = WholeField(
        label=gettext_lazy("Odometer on that day"), min_value=0, max_value=FARTHEST_KM, required=False
    )
    capacity_percent = FiniteField(
        label=gettext_lazy("Capacity, percent of rated"), unit="%", min_value=0, max_value=200
    )

    class Meta:
        model = EarlierCapacity
        fields = ["found_on", "odometer_km", "capacity_percent", "method", "words"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["odometer_km"].unit = "km"  # type: ignore[attr-defined]
