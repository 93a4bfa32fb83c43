"""The form for a rate at a border of customs."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from network.form_fields import CommaField
from parts.borders import one_union
from parts.currencies import DECIMALS, decimals_of
from parts.form_fields import MoneyField
from parts.models import BorderRate


class CountryField(forms.CharField):
    """Two letters (ISO 3166-1 alpha-2), written large or small."""

    def __init__(self, **kwargs: Any) -> None:
        attrs = {"autocapitalize": "characters", "autocomplete": "off", "spellcheck": "false", "size": "2"}
        super().__init__(max_length=2, widget=forms.TextInput(attrs=attrs), **kwargs)

    def clean(self, value: Any) -> str:
        code = super().clean(value).upper()
        if code and not re.fullmatch("[A-Z]{2}", code):
            raise ValidationError(_("Write the two letters of the country, such as CH."))
        return code


class PercentField(CommaField):
    unit = "%"


def _percent(label: Any, **kwargs: Any) -> PercentField:
    return PercentField(label=label, min_value=0, max_value=500, max_digits=6, decimal_places=3, **kwargs)


class BorderRateForm(forms.ModelForm):
    from_country = CountryField(
        label=gettext_lazy("From the country"), required=False,
        help_text=gettext_lazy("two letters; empty: from any country without a rate of its own"),
    )  # fmt: skip
    into_country = CountryField(label=gettext_lazy("Into the country"))
    duty_percent = _percent(gettext_lazy("Duty"))
    tax_percent = _percent(gettext_lazy("Import tax"))
    uplift_percent = _percent(
        gettext_lazy("Added to the customs value for the tax"), initial=0,
        help_text=gettext_lazy("0 where the carriage itself is added"),
    )  # fmt: skip
    fee = MoneyField(label=gettext_lazy("Fee for clearing a parcel"), initial="0")
    duty_free_up_to = MoneyField(label=gettext_lazy("No duty on goods worth up to"), initial="0")
    currency = forms.ChoiceField(
        label=gettext_lazy("Currency of both amounts"), choices=[(code, code) for code in DECIMALS]
    )
    valid_from = forms.DateField(label=gettext_lazy("Valid from"), widget=forms.DateInput(attrs={"type": "date"}))
    source = forms.CharField(
        label=gettext_lazy("Source"), max_length=200,
        help_text=gettext_lazy("law, tariff and heading, with the day on which it was looked up"),
    )  # fmt: skip

    class Meta:
        model = BorderRate
        fields = [
            "from_country", "into_country", "duty_percent", "tax_percent", "carriage_in_value", "uplift_percent",
            "fee", "fee_taxed", "duty_free_up_to", "currency", "tax_reclaimed", "valid_from", "source",
        ]  # fmt: skip

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        from_country, into_country = cleaned.get("from_country"), cleaned.get("into_country")
        if from_country and into_country and one_union(from_country, into_country):
            self.add_error("from_country", _("No border of customs lies between these two countries."))
        currency = cleaned.get("currency")
        for name in ("fee", "duty_free_up_to"):
            amount = cleaned.get(name)
            if currency and amount is not None and amount != round(amount, decimals_of(currency)):
                sentence = _("%(currency)s has %(n)d decimals, no more.")
                self.add_error(name, sentence % {"currency": currency, "n": decimals_of(currency)})
        return cleaned
