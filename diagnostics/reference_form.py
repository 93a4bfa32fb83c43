"""The form that shares a record's figures: how the part turned out, and how far the car had run."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy

from diagnostics.models import SharedFigures


class ShareFiguresForm(forms.Form):
    turned = forms.ChoiceField(
        label=gettext_lazy("How the part turned out"),
        choices=SharedFigures.Turned.choices,
        widget=forms.RadioSelect,
        help_text=gettext_lazy("New readings are compared with the sound ones. Wait until you know."),
    )
    mileage = forms.ChoiceField(
        label=gettext_lazy("Mileage"),
        choices=SharedFigures.Mileage.choices,
        required=False,
        help_text=gettext_lazy("To the next 50 thousand km, so that no car is found by it."),
    )
