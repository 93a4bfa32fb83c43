"""Forms of the sourcing board: what is asked, what is offered, what arrived."""

from __future__ import annotations

import re
from typing import Any

from babel.numbers import get_currency_precision
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from network.models import Membership, Region
from parts.models import Answer, PartRequest
from parts.numbers import normalise

LOOKS_LIKE_VIN = re.compile(
    r"\b(?=[A-HJ-NPR-Z0-9]*\d)(?=[A-HJ-NPR-Z0-9]*[A-HJ-NPR-Z])[A-HJ-NPR-Z0-9]{17}\b", re.IGNORECASE
)
LOOKS_LIKE_MAIL = re.compile(r"[^\s@]+@[^\s@]+\.\w+")
CURRENCIES = ("EUR", "CHF", "GBP", "DKK", "SEK", "NOK", "PLN", "CZK", "HUF", "USD", "JPY")


def without_private_pieces(text: str) -> str:
    """A request is read by other workshops: no VIN and no e-mail address belongs into it."""
    if LOOKS_LIKE_VIN.search(text):
        raise ValidationError(_("Leave the VIN out: other workshops read this. The system family is enough."))
    if LOOKS_LIKE_MAIL.search(text):
        raise ValidationError(_("Leave e-mail addresses out: answers come through the portal."))
    return text


class RequestForm(forms.ModelForm):
    """Asked of the regions that are ticked; all of them to begin with."""

    class Meta:
        model = PartRequest
        fields = ["number", "description", "family", "quantity", "marks", "needed_by", "off_road", "regions", "remark"]
        widgets = {
            "needed_by": forms.DateInput(attrs={"type": "date"}),
            "regions": forms.CheckboxSelectMultiple,
            "remark": forms.Textarea(attrs={"rows": 3}),
        }

    def __init__(self, *args: Any, membership: Membership, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.membership = membership
        self.fields["regions"].queryset = Region.objects.all()  # type: ignore[attr-defined]
        self.fields["regions"].initial = list(Region.objects.values_list("pk", flat=True))

    def clean_number(self) -> str:
        number = self.cleaned_data["number"]
        if not normalise(number=number):
            raise ValidationError(_("A part number has letters or digits."))
        return without_private_pieces(number)

    def clean_description(self) -> str:
        return without_private_pieces(self.cleaned_data["description"])

    def clean_remark(self) -> str:
        return without_private_pieces(self.cleaned_data["remark"])

    def clean_quantity(self) -> int:
        quantity = self.cleaned_data["quantity"]
        if not 1 <= quantity <= 1000:
            raise ValidationError(_("Ask for 1 to 1000."))
        return quantity


class AnswerForm(forms.ModelForm):
    currency = forms.ChoiceField(label=gettext_lazy("Currency"), choices=[(code, code) for code in CURRENCIES])

    class Meta:
        model = Answer
        fields = ["offer", "condition", "price", "freight", "currency", "days_to_arrive", "marks", "remark"]
        widgets = {"remark": forms.Textarea(attrs={"rows": 3})}

    def clean_days_to_arrive(self) -> int:
        days = self.cleaned_data["days_to_arrive"]
        if days > 365:
            raise ValidationError(_("More than a year is no answer to this request."))
        return days

    def clean_remark(self) -> str:
        return without_private_pieces(self.cleaned_data["remark"])

    def clean(self) -> dict[str, Any]:
        """Amounts in the minor units of their currency (ISO 4217): cents for the euro, none for the yen."""
        cleaned = super().clean() or {}
        places = get_currency_precision(cleaned.get("currency") or "EUR")
        for name in ("price", "freight"):
            amount = cleaned.get(name)
            if amount is None:
                continue
            if amount < 0:
                self.add_error(name, _("It can't be below zero."))
            elif amount != round(amount, places):
                self.add_error(name, _("This currency has %(n)d decimals.") % {"n": places})
        return cleaned


class ReceiptForm(forms.Form):
    """What was seen when the part arrived."""

    number_as_ordered = forms.TypedChoiceField(
        label=gettext_lazy("The number on the part"),
        choices=[("yes", gettext_lazy("as ordered")), ("no", gettext_lazy("another number"))],
        coerce=lambda value: value == "yes",
        widget=forms.RadioSelect,
    )
    marks_as_ordered = forms.TypedChoiceField(
        label=gettext_lazy("The revision marks on the part"),
        choices=[("yes", gettext_lazy("as ordered")), ("no", gettext_lazy("other marks, or none"))],
        coerce=lambda value: value == "yes",
        widget=forms.RadioSelect,
    )
    remark = forms.CharField(
        label=gettext_lazy("What you saw"), required=False, max_length=1000, widget=forms.Textarea(attrs={"rows": 3})
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if False in (cleaned.get("number_as_ordered"), cleaned.get("marks_as_ordered")) and not cleaned.get("remark"):
            self.add_error("remark", _("Say what is on the part, so that the sender can answer."))
        return cleaned
