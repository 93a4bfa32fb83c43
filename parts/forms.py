"""Forms of the sourcing board: what is asked, what is offered, what arrived."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from network.models import Membership, Region
from network.private_text import IN_A_NUMBER
from parts.currencies import DECIMALS, decimals_of
from parts.form_fields import ManyField, MoneyField, SharedText
from parts.models import LONGEST_NUMBER, Answer, PartRequest, PartRevision
from parts.numbers import normalise

MOST_PIECES = 1000
LONGEST_WAIT_DAYS = 365
FURTHEST = datetime.timedelta(days=2 * 365)  # a part that is needed later than this is a slip of the pen


class RequestForm(forms.ModelForm):
    """Asked of the regions that are ticked; all of them to begin with."""

    number = SharedText(
        label=gettext_lazy("Part number, as printed"), max_length=LONGEST_NUMBER, shapes=IN_A_NUMBER,
        widget=forms.TextInput(attrs={"autocapitalize": "characters", "autocomplete": "off", "spellcheck": "false"}),
    )  # fmt: skip
    description = SharedText(label=gettext_lazy("What it is"), max_length=120)
    quantity = forms.IntegerField(label=gettext_lazy("How many pieces"), min_value=1, max_value=MOST_PIECES, initial=1)
    marks = SharedText(
        label=gettext_lazy("Revision marks to look for"), max_length=200, required=False,
        help_text=gettext_lazy("Makers revise a part under its old number: a label, a dot, the colour of a plug."),
    )  # fmt: skip
    remark = SharedText(
        label=gettext_lazy("Remark"), max_length=1000, required=False, widget=forms.Textarea(attrs={"rows": 3}),
        help_text=gettext_lazy("Leave out the owner, the registration and the VIN: the system family is enough."),
    )  # fmt: skip

    class Meta:
        model = PartRequest
        fields = ["number", "description", "family", "quantity", "marks", "needed_by", "off_road", "regions", "remark"]
        widgets = {"needed_by": forms.DateInput(attrs={"type": "date"}), "regions": forms.CheckboxSelectMultiple}
        field_classes = {"regions": ManyField}
        error_messages = {"regions": {"required": gettext_lazy("Tick one region at least: somebody has to see it.")}}

    def __init__(self, *args: Any, membership: Membership, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.membership = membership
        self.fields["family"].empty_label = gettext_lazy("not known, or fits several")  # type: ignore[attr-defined]
        self.fields["regions"].queryset = Region.objects.all()  # type: ignore[attr-defined]
        self.fields["regions"].initial = list(Region.objects.values_list("pk", flat=True))

    def clean_number(self) -> str:
        number = self.cleaned_data["number"]
        compared = normalise(number=number)
        if not compared:
            raise ValidationError(_("A part number has letters or figures. Write it as it is printed on the part."))
        if len(compared) > LONGEST_NUMBER:
            raise ValidationError(_("This is longer than a part number. Write it as it is printed on the part."))
        return number

    def clean_needed_by(self) -> datetime.date | None:
        day, today = self.cleaned_data["needed_by"], timezone.localdate()
        if day and day < today:
            raise ValidationError(_("This day has gone by. Leave it empty if there is no hurry."))
        if day and day > today + FURTHEST:
            raise ValidationError(_("This is more than two years away. Look at the year."))
        return day


class AnswerForm(forms.ModelForm):
    price = MoneyField(label=gettext_lazy("Price"))
    freight = MoneyField(label=gettext_lazy("Freight and packing"), help_text=gettext_lazy("0 where it is included"))
    currency = forms.ChoiceField(
        label=gettext_lazy("Currency"),
        choices=[(code, code) for code in DECIMALS],
        error_messages={"invalid_choice": gettext_lazy("“%(value)s” is none of these currencies. Choose one of them.")},
    )
    days_to_arrive = forms.IntegerField(
        label=gettext_lazy("Days until it arrives"), min_value=0, max_value=LONGEST_WAIT_DAYS,
        help_text=gettext_lazy("from the day on which it is accepted, weekends counted"),
    )  # fmt: skip
    marks = SharedText(label=gettext_lazy("Revision marks on it"), max_length=200, required=False)
    remark = SharedText(
        label=gettext_lazy("Remark"), max_length=1000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )

    class Meta:
        model = Answer
        fields = ["offer", "condition", "price", "freight", "currency", "days_to_arrive", "marks", "remark"]

    def __init__(self, *args: Any, quantity: int = 1, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if quantity > 1:
            self.fields["price"].help_text = _("for all %(n)d pieces together") % {"n": quantity}

    def clean(self) -> dict[str, Any]:
        """Amounts in the minor units of their currency (ISO 4217): cents for the euro, none for the yen."""
        cleaned = super().clean() or {}
        currency = cleaned.get("currency")
        for name in ("price", "freight"):
            amount = cleaned.get(name)
            if currency and amount is not None and amount != round(amount, decimals_of(currency)):
                self.add_error(name, _("%(currency)s has %(n)d decimals, no more.")
                               % {"currency": currency, "n": decimals_of(currency)})  # fmt: skip
        return cleaned


class ReceiptForm(forms.Form):
    """What was seen when the part arrived; where revisions of its number are known, which of them it is."""

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
    revision = forms.ChoiceField(label=gettext_lazy("Which revision is it"), widget=forms.RadioSelect)
    remark = SharedText(
        label=gettext_lazy("What you saw"), required=False, max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=gettext_lazy("needed where something is not as ordered"),
    )  # fmt: skip

    def __init__(self, *args: Any, revisions: Sequence[PartRevision] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.revisions = {str(one.pk): one for one in revisions}
        if not revisions:
            del self.fields["revision"]
            return
        named = [(key, f"{one.name}: {one.words}" if one.words else one.name) for key, one in self.revisions.items()]
        choices = [*named, ("none", _("none of these, or it can’t be told"))]
        self.fields["revision"].choices = choices  # type: ignore[attr-defined]

    def clean_revision(self) -> PartRevision | None:
        return self.revisions.get(self.cleaned_data["revision"])

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        differs = False in (cleaned.get("number_as_ordered"), cleaned.get("marks_as_ordered"))
        if differs and not cleaned.get("remark") and "remark" not in self.errors:
            self.add_error("remark", _("Say what is on the part, so that the sender can answer."))
        return cleaned
