"""The form of an answer: what is offered, at what price, in what condition, with what evidence and warranty."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.models import SharedSheet
from network.form_fields import WholeField
from network.models import Membership
from network.pictures import PicturesField
from network.private_text import IN_A_NUMBER
from parts.currencies import DECIMALS, decimals_of
from parts.form_fields import MoneyField, SharedText
from parts.models import LONGEST_NUMBER, Answer
from parts.numbers import normalise

LONGEST_WAIT_DAYS = 365
AMOUNTS = ("price", "packing", "freight", "insurance", "core_deposit", "warranty_labour_limit")
Offer = Answer.Offer


def _text(label: Any, length: int, **more: Any) -> SharedText:
    return SharedText(label=label, max_length=length, required=False, **more)


def _count(label: Any, most: int, *, unit: Any = "", **more: Any) -> WholeField:
    field = WholeField(label=label, min_value=0, max_value=most, required=False, **more)
    field.unit = unit  # type: ignore[attr-defined]
    return field


class AnswerForm(forms.ModelForm):
    """A short form to begin with; evidence, core, warranty and terms of trade unfold below."""

    replacement = _text(
        gettext_lazy("Number that replaced it"), LONGEST_NUMBER, shapes=IN_A_NUMBER,
        help_text=gettext_lazy("where your answer is that it is replaced"),
    )  # fmt: skip
    price = MoneyField(
        label=gettext_lazy("Price"), required=False,
        help_text=gettext_lazy("without the tax on sales; empty where you have only advice"),
    )  # fmt: skip
    packing = MoneyField(label=gettext_lazy("Packing"), required=False)
    freight = MoneyField(
        label=gettext_lazy("Freight"), required=False, help_text=gettext_lazy("0 where it is included")
    )
    insurance = MoneyField(label=gettext_lazy("Insurance of the freight"), required=False)
    currency = forms.ChoiceField(
        label=gettext_lazy("Currency"),
        choices=[(code, code) for code in DECIMALS],
        error_messages={"invalid_choice": gettext_lazy("“%(value)s” is none of these currencies. Choose one of them.")},
    )
    days_to_ship = _count(gettext_lazy("Days until it leaves"), LONGEST_WAIT_DAYS)
    days_to_arrive = _count(
        gettext_lazy("Days until it arrives"), LONGEST_WAIT_DAYS,
        help_text=gettext_lazy("both from the day on which it is accepted, weekends counted"),
    )  # fmt: skip
    marks = _text(gettext_lazy("Revision marks on it"), 200)
    remark = _text(gettext_lazy("Remark"), 1000, widget=forms.Textarea(attrs={"rows": 3}))
    donor_km = _count(gettext_lazy("Mileage of the donor"), 2_000_000, unit="km")
    removal_reason = _text(gettext_lazy("Why it was taken out"), 120)
    storage = _text(gettext_lazy("How it was stored"), 120)
    plate = PicturesField(most=1, label=gettext_lazy("Picture of the serial plate"))
    pictures = PicturesField(most=6, label=gettext_lazy("Other pictures"))
    sheet = forms.ModelChoiceField(
        SharedSheet.objects.none(), label=gettext_lazy("Bench sheet"), required=False,
        empty_label=gettext_lazy("none shown"),
        help_text=gettext_lazy("a copy that you have shown to other members, from the page of the sheet"),
    )  # fmt: skip
    core_deposit = MoneyField(
        label=gettext_lazy("Deposit for the core"), required=False,
        help_text=gettext_lazy("empty where the old unit need not come back"),
    )  # fmt: skip
    core_criteria = _text(gettext_lazy("What the core must be like"), 200)
    core_days = _count(gettext_lazy("Days to send the core back"), LONGEST_WAIT_DAYS)
    warranty_months = _count(gettext_lazy("Warranty"), 120, unit=gettext_lazy("months"))
    warranty_km = _count(gettext_lazy("At most"), 2_000_000, unit="km")
    warranty_labour_limit = MoneyField(label=gettext_lazy("Labour to the sum of"), required=False)
    warranty_exclusions = _text(gettext_lazy("What it excludes"), 200)
    warranty_decided_by = _text(
        gettext_lazy("Who decides a dispute"), 120, help_text=gettext_lazy("a third workshop, the maker, an expert")
    )

    GROUPS = (
        ("", ("offer", "replacement", "condition", "price", "packing", "freight", "currency", "days_to_ship",
              "days_to_arrive", "marks", "remark")),
        (gettext_lazy("Evidence"), ("sheet", "donor_km", "removal_reason", "storage", "plate", "pictures")),
        (gettext_lazy("Core that comes back"), ("core_deposit", "core_criteria", "core_days")),
        (gettext_lazy("Warranty between members"), ("warranty_months", "warranty_km", "warranty_labour",
         "warranty_labour_limit", "warranty_freight", "warranty_exclusions", "warranty_decided_by")),
        (gettext_lazy("Terms of trade"), ("trade_terms", "insurance")),
    )  # fmt: skip

    class Meta:
        model = Answer
        fields = [
            "offer", "replacement", "condition", "price", "packing", "freight", "insurance", "currency", "days_to_ship",
            "days_to_arrive", "marks", "remark", "sheet", "donor_km", "removal_reason", "storage", "core_deposit",
            "core_criteria", "core_days", "warranty_months", "warranty_km", "warranty_labour", "warranty_labour_limit",
            "warranty_freight", "warranty_exclusions", "warranty_decided_by", "trade_terms",
        ]  # fmt: skip

    def __init__(self, *args: Any, by: Membership, quantity: int = 1, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        mine = SharedSheet.objects.shown().of_workshop(by.workshop)
        self.fields["sheet"].queryset = mine  # type: ignore[attr-defined]
        for name in ("warranty_labour", "warranty_freight"):
            self.fields[name].required = False
        if quantity > 1:
            self.fields["price"].help_text = _("for all %(n)d pieces together, without the tax on sales") % {
                "n": quantity
            }

    @property
    def groups(self) -> Iterator[tuple[Any, list[Any], bool]]:
        """Title, fields, and whether something stands in them that has to be seen."""
        for title, names in self.GROUPS:
            fields = [self[name] for name in names if name in self.fields]
            yield title, fields, any(field.errors or self._typed(field) for field in fields)

    def _typed(self, field: Any) -> bool:
        chosen = field.name in ("warranty_labour", "warranty_freight")
        return bool(self.is_bound and not chosen and field.value())

    def clean_replacement(self) -> str:
        number: str = self.cleaned_data["replacement"]
        if number and not normalise(number=number):
            raise ValidationError(_("A part number has letters or figures. Write it as it is printed on the part."))
        return number

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        self._clean_amounts(cleaned)
        self._clean_offer(cleaned)
        if cleaned.get("core_deposit") is not None:
            for name in ("core_criteria", "core_days"):
                if not cleaned.get(name) and name not in self.errors:
                    self.add_error(name, _("Say what the core must be like, and until when it has to be sent."))
        return cleaned

    def _clean_amounts(self, cleaned: dict[str, Any]) -> None:
        """Amounts in the minor units of their currency (ISO 4217): cents for the euro, none for the yen."""
        currency = cleaned.get("currency")
        for name in AMOUNTS:
            amount = cleaned.get(name)
            if currency and amount is not None and amount != round(amount, decimals_of(currency)):
                self.add_error(name, _("%(currency)s has %(n)d decimals, no more.")
                               % {"currency": currency, "n": decimals_of(currency)})  # fmt: skip
        for name in ("packing", "freight", "insurance"):
            cleaned[name] = cleaned.get(name) or Decimal(0)
        for name in ("days_to_ship", "warranty_months"):
            cleaned[name] = cleaned.get(name) or 0
        cleaned["warranty_labour"] = cleaned.get("warranty_labour") or Answer.Labour.NOT_COVERED
        cleaned["warranty_freight"] = cleaned.get("warranty_freight") or Answer.WarrantyFreight.EACH_ONE_WAY

    def _clean_offer(self, cleaned: dict[str, Any]) -> None:
        """Advice has no price; an offer has one, with its condition and the day it arrives."""
        offer = cleaned.get("offer")
        if offer == Offer.ADVICE:
            cleaned |= {"price": None, "days_to_arrive": 0, "days_to_ship": 0}
            self._need(cleaned, "remark", _("Write your advice here."))
            return
        if offer == Offer.REPLACED_BY:
            self._need(cleaned, "replacement", _("Name the number that replaced it."))
        if offer == Offer.REPLACED_BY and cleaned.get("price") is None:
            cleaned |= {"days_to_arrive": 0, "days_to_ship": 0}
            return
        self._need(cleaned, "price", _("Name the price, or answer with advice only."))
        self._need(cleaned, "condition", _("Say in what condition it is."))
        self._need(cleaned, "days_to_arrive", _("Say in how many days it arrives."))
        if cleaned.get("days_to_arrive") is not None and cleaned["days_to_ship"] > cleaned["days_to_arrive"]:
            self.add_error("days_to_ship", _("It can’t leave after it has arrived."))

    def _need(self, cleaned: dict[str, Any], name: str, sentence: str) -> None:
        if cleaned.get(name) in (None, "") and name not in self.errors:
            self.add_error(name, sentence)
