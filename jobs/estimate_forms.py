"""Forms of estimates: lines typed row by row, without scripts; the draft around them; what the owner answers."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms.formsets import BaseFormSet, formset_factory
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.estimating import MOST_LINES
from jobs.models import Estimate, EstimateLine, PricedLine
from jobs.models.estimates import in_major
from parts.currencies import decimals_of
from parts.models import PartRequest

BLANK_ROWS = 3
FURTHEST_DAYS = 365
TYPED = ("words", "part_number", "quantity", "price")  # a row in which none of these stands is left out
FIGURE = re.compile(r"[-−]?[0-9]{1,8}(?:[.,][0-9]{1,3})?")


class DecimalText(forms.CharField):
    """A figure with decimal comma or point, blanks between thousands; empty is None."""

    def __init__(self, **kwargs: Any) -> None:
        attrs = {"inputmode": "decimal", "autocomplete": "off"}
        super().__init__(required=False, max_length=20, widget=forms.TextInput(attrs=attrs), **kwargs)

    def to_python(self, value: Any) -> Any:
        text = re.sub(r"[\s'’]", "", super().to_python(value) or "")
        if not text:
            return None
        if not FIGURE.fullmatch(text):
            raise ValidationError(
                _("“%(text)s” is not a figure. Type digits with one comma or point."), params={"text": value}
            )
        return Decimal(text.replace(",", ".").replace("−", "-"))

    def run_validators(self, value: Any) -> None:
        """The pattern has looked at it; the row looks at the size."""


class LineForm(forms.Form):
    """One line. A row that stays empty is left out; so is one that is ticked."""

    kind = forms.ChoiceField(label=gettext_lazy("What"), choices=PricedLine.Kind)
    words = forms.CharField(label=gettext_lazy("In words"), max_length=160, required=False)
    part_number = forms.CharField(label=gettext_lazy("Part number"), max_length=40, required=False)
    quantity = DecimalText(label=gettext_lazy("Hours or pieces"))
    price = DecimalText(label=gettext_lazy("Price of one"))
    tax_percent = DecimalText(label=gettext_lazy("Tax, %"))

    def __init__(self, *args: Any, currency: str, tax: Decimal | None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs | {"empty_permitted": True, "use_required_attribute": False})
        self.currency = currency
        if tax is not None:
            self.fields["tax_percent"].initial = f"{tax.normalize():f}"

    def has_changed(self) -> bool:
        """Something was typed in it: a kind and a rate stand there by themselves."""
        return any(str(self[name].value() or "").strip() for name in TYPED)

    def clean_words(self) -> str:
        return " ".join(self.cleaned_data["words"].split())

    def clean(self) -> dict[str, Any]:
        typed = super().clean() or {}
        if not self.errors:
            self._refuse_gaps(typed)
            self._refuse_sizes(typed)
        return typed

    def _refuse_gaps(self, typed: dict[str, Any]) -> None:
        for name, sentence in {
            "words": _("Say in words what it is."),
            "quantity": _("How many hours or pieces?"),
            "price": _("At what price, without tax?"),
            "tax_percent": _("Which rate of tax? 0 where there is none."),
        }.items():
            if typed.get(name) in (None, ""):
                self.add_error(name, sentence)

    def _refuse_sizes(self, typed: dict[str, Any]) -> None:
        quantity, price, tax = (typed.get(name) for name in ("quantity", "price", "tax_percent"))
        if quantity is not None and not 0 < quantity < 100_000:
            self.add_error("quantity", _("It lies above 0 and below 100 000."))
        if tax is not None and (not 0 <= tax <= 100 or tax != round(tax, 2)):
            self.add_error("tax_percent", _("A rate of tax lies between 0 and 100, with two decimals at most."))
        if price is None:
            return
        if price < 0 and typed.get("kind") != PricedLine.Kind.OTHER:
            self.add_error("price", _("Only “other” may be below zero, for what is taken off."))
        decimals = decimals_of(self.currency)
        if price != round(price, decimals):
            sentence = _("An amount in %(currency)s has %(n)d decimals at most.")
            self.add_error("price", sentence % {"currency": self.currency, "n": decimals})

    def line(self) -> dict[str, Any]:
        """The row as a line keeps it, its price in minor units."""
        typed = {name: value for name, value in self.cleaned_data.items() if name != "DELETE"}
        typed["price"] = int(typed["price"].scaleb(decimals_of(self.currency)))
        return typed


class Lines(BaseFormSet):
    """Rows of lines: those that stand, and a few empty ones."""

    def add_fields(self, form: Any, index: int | None) -> None:
        super().add_fields(form, index)
        if "DELETE" in form.fields:
            form.fields["DELETE"].label = _("leave out")

    def lines(self) -> list[dict[str, Any]]:
        """What was typed, in its order, without empty rows and those that are ticked to be left out."""
        kept = (row for row in self.forms if row.has_changed() and not row.cleaned_data.get("DELETE"))
        return [row.line() for row in kept]


LineSet = formset_factory(
    LineForm, formset=Lines, extra=BLANK_ROWS, can_delete=True, can_delete_extra=False,
    max_num=MOST_LINES, absolute_max=MOST_LINES, validate_max=True,
)  # fmt: skip


def line_set(*, sent: Any, lines: Iterable[PricedLine], currency: str, part: PartRequest | None = None) -> Any:
    """The rows, bound to what was sent or filled from the lines; the rate of tax is that of the last line written.

    Where no line stands yet, the part that the job waits for is written down already, but for its price.
    """
    stands = [_as_typed(line, currency) for line in lines]
    if part and not stands:
        stands = [{"kind": PricedLine.Kind.PART, "words": part.description, "part_number": part.number[:40],
                   "quantity": part.quantity}]  # fmt: skip
    last = EstimateLine.objects.order_by("-pk").first()
    facts = {"currency": currency, "tax": last.tax_percent if last else None}
    return LineSet(sent, prefix="line", initial=stands, form_kwargs=facts)


def _as_typed(line: PricedLine, currency: str) -> dict[str, Any]:
    return {
        "kind": line.kind,
        "words": line.words,
        "part_number": line.part_number,
        "quantity": f"{line.quantity.normalize():f}",
        "price": f"{in_major(line.price, currency):f}",
        "tax_percent": f"{line.tax_percent.normalize():f}",
    }


class DraftForm(forms.ModelForm):
    """What stands around the lines."""

    seen = forms.IntegerField(widget=forms.HiddenInput, min_value=0, max_value=1_000_000)

    class Meta:
        model = Estimate
        fields = ["words", "holds_until"]
        widgets = {
            "words": forms.Textarea(attrs={"rows": 3}),
            "holds_until": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        }
        help_texts = {"words": gettext_lazy("What is done and why; what is still open until the car is looked into.")}

    def clean_holds_until(self) -> datetime.date:
        day, today = self.cleaned_data["holds_until"], timezone.localdate()
        if not today <= day <= today + datetime.timedelta(days=FURTHEST_DAYS):
            raise ValidationError(_("It holds from today to a year at most. Look at the day."))
        return day


class AnswerForm(forms.Form):
    """The owner's answer: their name, and which text they saw."""

    name = forms.CharField(label=gettext_lazy("Your name"), max_length=120, min_length=2)
    reason = forms.CharField(
        label=gettext_lazy("If you decline: why, or what you would rather have"),
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    seen = forms.CharField(widget=forms.HiddenInput, max_length=64)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["name"].widget.attrs["autocomplete"] = "name"

    def clean_name(self) -> str:
        name = " ".join(self.cleaned_data["name"].split())
        if len(name) < 2:
            raise ValidationError(_("Type your name."))
        return name
