"""Forms of part numbers: what they are, their revisions, what replaces what, what the trade says of them."""

from __future__ import annotations

import datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.models import SystemFamily
from diagnostics.part_kinds import PartKind
from network.form_fields import WholeField
from network.models import Region
from network.pictures import PicturesField
from network.private_text import IN_A_NUMBER
from parts.form_fields import ManyField, SharedText
from parts.models import LONGEST_NUMBER, PartNumber, PartRevision, Supersession, SupplyReport
from parts.models.revisions import MOST_DOTS
from parts.numbers import normalise

EARLIEST = datetime.date(1990, 1, 1)  # no hybrid or electric part of today's trade is older
NUMBER_KEYS = {"autocapitalize": "characters", "autocomplete": "off", "spellcheck": "false"}


def day_field(**kwargs: Any) -> forms.DateField:
    return forms.DateField(widget=forms.DateInput(attrs={"type": "date"}), **kwargs)


def refuse_future(day: datetime.date | None) -> datetime.date | None:
    if day and day > timezone.localdate():
        raise ValidationError(_("This day is still to come. Look at the year."))
    if day and day < EARLIEST:
        raise ValidationError(_("This is too long ago. Look at the year."))
    return day


class NumberText(SharedText):
    """A part number as it is printed."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            shapes=IN_A_NUMBER, max_length=LONGEST_NUMBER, widget=forms.TextInput(attrs=NUMBER_KEYS), **kwargs
        )

    def validate(self, value: str) -> None:
        super().validate(value)
        compared = normalise(number=value)
        if value and not compared:
            raise ValidationError(_("A part number has letters or figures. Write it as it is printed on the part."))
        if len(compared) > LONGEST_NUMBER:
            raise ValidationError(_("This is longer than a part number. Write it as it is printed on the part."))


class NumberForm(forms.ModelForm):
    number = NumberText(label=gettext_lazy("Part number, as printed"))
    maker = SharedText(
        label=gettext_lazy("Maker"), max_length=80,
        help_text=gettext_lazy("whose number it is: the car’s maker or the part’s")
    )  # fmt: skip
    kind = forms.ChoiceField(label=gettext_lazy("What kind of part"), choices=PartKind)
    description = SharedText(label=gettext_lazy("What it is"), max_length=120)
    families = ManyField(
        label=gettext_lazy("Fits these system families"), queryset=SystemFamily.objects.none(), required=False,
        widget=forms.CheckboxSelectMultiple,
    )  # fmt: skip

    class Meta:
        model = PartNumber
        fields = ["number", "maker", "kind", "description"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["families"].queryset = SystemFamily.objects.all()  # type: ignore[attr-defined]


class Correcting(forms.Form):
    """What every correction says beside the new words: why, and which words its author had read."""

    reason = SharedText(
        label=gettext_lazy("Why it is corrected"), max_length=200,
        help_text=gettext_lazy("Every member reads it beside the words that stood before."),
    )  # fmt: skip
    seen = forms.CharField(widget=forms.HiddenInput, max_length=64)


class NumberCorrectionForm(Correcting, NumberForm):
    field_order = ["number", "maker", "kind", "description", "families", "reason"]

    def __init__(self, *args: Any, may_rename: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in () if may_rename else ("number", "maker"):
            self.fields[name].disabled = True
            self.fields[name].help_text = _("not to be changed: other members’ statements hang on it, or it is theirs")


class FamiliesForm(forms.Form):
    """System families that the number fits as well."""

    families = ManyField(
        label=gettext_lazy("It fits these as well"), queryset=SystemFamily.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": gettext_lazy("Tick the system family that it fits.")},
    )  # fmt: skip

    def __init__(self, *args: Any, number: PartNumber, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        others = SystemFamily.objects.exclude(pk__in=number.families.values("pk"))
        self.fields["families"].queryset = others  # type: ignore[attr-defined]


class RevisionForm(forms.ModelForm):
    name = SharedText(
        label=gettext_lazy("Name of the revision"), max_length=60,
        help_text=gettext_lazy("as people tell it apart: “two dots”, “grey plug”"),
    )  # fmt: skip
    made = SharedText(label=gettext_lazy("Made from, until"), max_length=80, required=False)
    label_mark = SharedText(label=gettext_lazy("Mark on the label"), max_length=120, required=False)
    dots = WholeField(
        label=gettext_lazy("Dots on the label"), min_value=0, max_value=MOST_DOTS, required=False,
        help_text=gettext_lazy("0 where the others have some and this one has none; empty where dots say nothing"),
    )  # fmt: skip
    board_print = SharedText(label=gettext_lazy("Print on the board"), max_length=120, required=False)
    connector_colour = SharedText(label=gettext_lazy("Colour of a connector"), max_length=120, required=False)
    why = SharedText(label=gettext_lazy("Why it was revised"), max_length=300, required=False)
    fault = SharedText(label=gettext_lazy("How it fails"), max_length=300, required=False)
    software_number = SharedText(
        label=gettext_lazy("Software number"), max_length=60, required=False, shapes=IN_A_NUMBER
    )
    coding_route = SharedText(
        label=gettext_lazy("Coding route"), max_length=300, required=False,
        help_text=gettext_lazy("by what tool and licence, and who codes"),
    )  # fmt: skip
    photos = PicturesField(
        label=gettext_lazy("Photos of the marks"),
        help_text=gettext_lazy(
            "Every member sees them: no registration, no VIN. JPEG, PNG or WebP; the position in them is removed."
        ),
    )  # fmt: skip

    class Meta:
        model = PartRevision
        fields = [
            "name", "dots", "label_mark", "board_print", "connector_colour", "made", "why", "standing", "fault",
            "software_number", "donor_lock", "coding_route",
        ]  # fmt: skip

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        marks = [cleaned.get(name) for name in ("label_mark", "board_print", "connector_colour")]
        if not any(marks) and cleaned.get("dots") is None and not self.errors:
            self.add_error("label_mark", _("Name one mark at least, or nobody can tell it from the others."))
        if cleaned.get("standing") == PartRevision.Standing.KNOWN_TO_FAIL and not cleaned.get("fault"):
            self.add_error("fault", _("Say how it fails, so that others know what to look for."))
        return cleaned


class RevisionCorrectionForm(Correcting, RevisionForm):
    field_order = [*RevisionForm.Meta.fields, "photos", "reason"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["photos"].label = _("Further photos of the marks")


class SupplyForm(forms.ModelForm):
    region = forms.ModelChoiceField(label=gettext_lazy("Region"), queryset=Region.objects.none())
    seen_on = day_field(label=gettext_lazy("Seen on"))
    source = SharedText(
        label=gettext_lazy("Seen where"), max_length=120,
        help_text=gettext_lazy("the maker’s counter, a wholesaler’s list, a letter; no names of people"),
    )  # fmt: skip
    remark = SharedText(label=gettext_lazy("Remark"), max_length=200, required=False)

    class Meta:
        model = SupplyReport
        fields = ["region", "standing", "seen_on", "source", "remark"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["region"].queryset = Region.objects.all()  # type: ignore[attr-defined]

    def clean_seen_on(self) -> datetime.date | None:
        return refuse_future(self.cleaned_data["seen_on"])


class Relation(models.TextChoices):
    """What this number is to the other one."""

    REPLACED_BY = "replaced_by", gettext_lazy("is replaced by")
    REPLACES = "replaces", gettext_lazy("replaces")
    OTHER_INSTEAD = "other_instead", gettext_lazy("can be done without, under conditions, by using")
    THIS_INSTEAD = "this_instead", gettext_lazy("may be used, under conditions, instead of")


class SupersessionForm(forms.ModelForm):
    relation = forms.ChoiceField(label=gettext_lazy("This number"), choices=Relation)
    other = NumberText(
        label=gettext_lazy("The other number"),
        help_text=gettext_lazy("Where the network doesn’t know it yet, it is entered with the maker of this one."),
    )
    region = forms.ModelChoiceField(
        label=gettext_lazy("In this region"), queryset=Region.objects.none(), required=False,
        empty_label=gettext_lazy("everywhere"),
    )  # fmt: skip
    since = day_field(label=gettext_lazy("Since"), required=False)
    conditions = SharedText(
        label=gettext_lazy("Conditions"), max_length=300, required=False,
        help_text=gettext_lazy("a kit, a coding, another bracket; needed for “instead”: “none known” where none is"),
    )  # fmt: skip
    evidence = SharedText(
        label=gettext_lazy("Evidence"), max_length=200,
        help_text=gettext_lazy("the maker’s bulletin, the counter’s list with its date, the label of a delivered part"),
    )  # fmt: skip
    photos = PicturesField(
        label=gettext_lazy("Photo of the evidence"), most=1,
        help_text=gettext_lazy("Every member sees it. JPEG, PNG or WebP; the position in it is removed."),
    )  # fmt: skip

    class Meta:
        model = Supersession
        fields = ["region", "since", "backwards", "conditions", "evidence"]

    field_order = ["relation", "other", "region", "since", "backwards", "conditions", "evidence", "photos"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["region"].queryset = Region.objects.all()  # type: ignore[attr-defined]

    def clean_since(self) -> datetime.date | None:
        return refuse_future(self.cleaned_data["since"])

    @property
    def instead(self) -> bool:
        return self.cleaned_data.get("relation") in (Relation.OTHER_INSTEAD, Relation.THIS_INSTEAD)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if self.instead and not cleaned.get("conditions") and "conditions" not in self.errors:
            self.add_error("conditions", _("Say under what conditions it may be used, or “none known”."))
        return cleaned

    def statement(self, *, this: PartNumber, other: PartNumber) -> Supersession:
        """The statement in the order old, new."""
        made = self.save(commit=False)
        made.kind = Supersession.Kind.INSTEAD if self.instead else Supersession.Kind.REPLACED
        forwards = self.cleaned_data["relation"] in (Relation.REPLACED_BY, Relation.OTHER_INSTEAD)
        made.old, made.new = (this, other) if forwards else (other, this)
        return made


class DisputeForm(forms.Form):
    reason = SharedText(
        label=gettext_lazy("What you saw instead"), max_length=300, widget=forms.Textarea(attrs={"rows": 3}),
        help_text=gettext_lazy("Both statements stay to be read, with who made them."),
    )  # fmt: skip
