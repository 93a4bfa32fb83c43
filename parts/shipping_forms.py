"""Forms for what travels: sent, received and looked at, the core, the deposit."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from network.pictures import PicturesField
from parts.carriage import Carriage
from parts.form_fields import MoneyField, SharedText
from parts.models import Answer, PartRevision

LONGEST_AGO = datetime.timedelta(days=365)
YES_OR_NO: dict[str, Any] = {"coerce": lambda value: value == "yes", "widget": forms.RadioSelect}


class PastDay(forms.DateField):
    """A day up to today, and not longer ago than a year; empty: today."""

    def __init__(self, **kwargs: Any) -> None:
        kwargs.setdefault("help_text", gettext_lazy("empty: today"))
        super().__init__(required=False, widget=forms.DateInput(attrs={"type": "date"}), **kwargs)

    def clean(self, value: Any) -> datetime.date:
        day: datetime.date = super().clean(value) or timezone.localdate()
        if day > timezone.localdate():
            raise ValidationError(_("This day is still to come. Write down what has happened."))
        if day < timezone.localdate() - LONGEST_AGO:
            raise ValidationError(_("This is more than a year ago. Look at the year."))
        return day


class ReceiptForm(forms.Form):
    """What was seen when the part arrived, facts only; where revisions of its number are known, which of them it is."""

    arrived_on = PastDay(label=gettext_lazy("Arrived on"))
    number_as_ordered = forms.TypedChoiceField(
        label=gettext_lazy("The number on the part"),
        choices=[("yes", gettext_lazy("as ordered")), ("no", gettext_lazy("another number"))],
        **YES_OR_NO,
    )
    marks_as_ordered = forms.TypedChoiceField(
        label=gettext_lazy("The revision marks on the part"),
        choices=[("yes", gettext_lazy("as ordered")), ("no", gettext_lazy("other marks, or none"))],
        **YES_OR_NO,
    )
    revision = forms.ChoiceField(label=gettext_lazy("Which revision is it"), widget=forms.RadioSelect)
    as_described = forms.TypedChoiceField(
        label=gettext_lazy("Its condition"),
        choices=[("yes", gettext_lazy("as described in the answer")), ("no", gettext_lazy("not as described"))],
        **YES_OR_NO,
    )
    damaged = forms.BooleanField(label=gettext_lazy("Damaged on the way"), required=False)
    pictures = PicturesField(most=6, help_text=gettext_lazy("the plate, the marks, any damage"))
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
        seen = [cleaned.get(name) for name in ("number_as_ordered", "marks_as_ordered", "as_described")]
        differs = False in seen or cleaned.get("damaged")
        if differs and not cleaned.get("remark") and "remark" not in self.errors:
            self.add_error("remark", _("Say what is on the part, so that the sender can answer."))
        return cleaned


class SentForm(forms.Form):
    """When and by whom it was sent; for dangerous goods also as what, since somebody trained had to decide that."""

    sent_on = PastDay(label=gettext_lazy("Sent on"))
    carrier = SharedText(label=gettext_lazy("Carrier"), max_length=80)
    tracking = SharedText(label=gettext_lazy("Tracking number"), max_length=60, required=False, shapes=())
    carried_as = forms.ChoiceField(
        label=gettext_lazy("Carried as"), widget=forms.RadioSelect,
        help_text=gettext_lazy("what a trained shipper decided, not what this page says is likely"),
        error_messages={"required": gettext_lazy("Ask whoever is trained to ship dangerous goods, then tick it.")},
    )  # fmt: skip

    def __init__(self, *args: Any, carriage: Carriage | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = carriage.choices if carriage else []
        if not choices:
            del self.fields["carried_as"]
            return
        self.fields["carried_as"].choices = choices  # type: ignore[attr-defined]


class CoreForm(forms.Form):
    """In what state the core came."""

    arrived_on = PastDay(label=gettext_lazy("Arrived on"))
    as_described = forms.TypedChoiceField(
        label=gettext_lazy("The core"),
        choices=[("yes", gettext_lazy("as agreed")), ("no", gettext_lazy("not as agreed"))],
        **YES_OR_NO,
    )
    remark = SharedText(label=gettext_lazy("What you saw"), max_length=500, required=False)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("as_described") is False and not cleaned.get("remark") and "remark" not in self.errors:
            self.add_error("remark", _("Say what is not as agreed."))
        return cleaned


class DepositForm(forms.Form):
    """How much of the deposit was given back."""

    given_back = MoneyField(label=gettext_lazy("Given back"))
    reason = SharedText(label=gettext_lazy("Why not all of it"), max_length=200, required=False)

    def __init__(self, *args: Any, answer: Answer, **kwargs: Any) -> None:
        kwargs.setdefault("initial", {"given_back": f"{answer.core_deposit:.{answer.decimals}f}"})
        super().__init__(*args, **kwargs)
        self.deposit = answer.core_deposit or Decimal(0)
        self.decimals = answer.decimals
        self.fields["given_back"].unit = answer.currency  # type: ignore[attr-defined]

    def clean_given_back(self) -> Decimal:
        amount: Decimal = self.cleaned_data["given_back"]
        if amount > self.deposit:
            raise ValidationError(_("This is more than the deposit."))
        if amount != round(amount, self.decimals):
            raise ValidationError(_("This currency has %(n)d decimals, no more.") % {"n": self.decimals})
        return amount

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        amount = cleaned.get("given_back")
        if amount is not None and amount < self.deposit and not cleaned.get("reason") and "reason" not in self.errors:
            self.add_error("reason", _("Say why not all of it was given back."))
        return cleaned
