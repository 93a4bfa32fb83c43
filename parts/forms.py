"""The form of a request: what is asked of which regions."""

from __future__ import annotations

import datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.part_kinds import PartKind
from network.form_fields import WholeField
from network.models import Membership, Region
from network.pictures import PicturesField
from network.private_text import IN_A_NUMBER
from parts.form_fields import ManyField, SharedText
from parts.models import LONGEST_NUMBER, PartRequest
from parts.numbers import normalise

MOST_PIECES = 1000
FURTHEST = datetime.timedelta(days=2 * 365)  # a part that is needed later than this is a slip of the pen


class RequestForm(forms.ModelForm):
    """Asked of the regions that are ticked; all of them to begin with."""

    number = SharedText(
        label=gettext_lazy("Part number, as printed"), max_length=LONGEST_NUMBER, shapes=IN_A_NUMBER, required=False,
        help_text=gettext_lazy("empty where none can be read: then say well what it is"),
        widget=forms.TextInput(attrs={"autocapitalize": "characters", "autocomplete": "off", "spellcheck": "false"}),
    )  # fmt: skip
    description = SharedText(label=gettext_lazy("What it is"), max_length=120)
    quantity = WholeField(label=gettext_lazy("How many pieces"), min_value=1, max_value=MOST_PIECES, initial=1)
    marks = SharedText(
        label=gettext_lazy("Revision marks to look for"), max_length=200, required=False,
        help_text=gettext_lazy("Makers revise a part under its old number: a label, a dot, the colour of a plug."),
    )  # fmt: skip
    remark = SharedText(
        label=gettext_lazy("Remark"), max_length=1000, required=False, widget=forms.Textarea(attrs={"rows": 3}),
        help_text=gettext_lazy("Leave out the owner, the registration and the VIN: the system family is enough."),
    )  # fmt: skip

    pictures = PicturesField(
        most=4, help_text=gettext_lazy("for all members: no registration, no face; the position in them is removed")
    )

    class Meta:
        model = PartRequest
        fields = [
            "number", "description", "part_kind", "family", "quantity", "marks", "needed_by", "off_road", "regions",
            "remark",
        ]  # fmt: skip
        widgets = {"needed_by": forms.DateInput(attrs={"type": "date"}), "regions": forms.CheckboxSelectMultiple}
        field_classes = {"regions": ManyField}
        error_messages = {"regions": {"required": gettext_lazy("Tick one region at least: somebody has to see it.")}}

    def __init__(self, *args: Any, membership: Membership, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.membership = membership
        self.fields["family"].empty_label = gettext_lazy("not known, or fits several")  # type: ignore[attr-defined]
        kinds = [("", gettext_lazy("not named")), *PartKind.choices]
        self.fields["part_kind"].choices = kinds  # type: ignore[attr-defined]
        self.fields["regions"].queryset = Region.objects.all()  # type: ignore[attr-defined]
        self.fields["regions"].initial = list(Region.objects.values_list("pk", flat=True))

    def clean_number(self) -> str:
        number = self.cleaned_data["number"]
        if not number:
            return ""
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
