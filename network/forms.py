"""Forms of the network's pages: they clean and convert once, and refuse with a sentence at the field."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.http import HttpRequest
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from stdnum import get_cc_module
from stdnum.exceptions import ValidationError as NumberError

from network import places, work
from network.models import Membership, Qualification, Region, User, Workshop
from network.models.people import Told

COUNTRIES = [
    ("BE", gettext_lazy("Belgium")),
    ("NL", gettext_lazy("Netherlands")),
    ("LU", gettext_lazy("Luxembourg")),
    ("DE", gettext_lazy("Germany")),
]
RADII = (10, 25, 50, 100, 200, 500)
MOST_PEOPLE = 20  # named in one application


class SignupName(forms.Form):
    """What signing up asks beside e-mail and password."""

    name = forms.CharField(
        label=gettext_lazy("Your name"), max_length=120, widget=forms.TextInput(attrs={"autocomplete": "name"})
    )

    field_order = ["name", "email", "password1"]

    def signup(self, request: HttpRequest, user: User) -> None:
        user.name = self.cleaned_data["name"]
        user.save(update_fields=["name"])


class ToldForm(forms.Form):
    """How a person wants to be told of what waits."""

    told = forms.ChoiceField(label=gettext_lazy("How to tell you"), choices=Told.choices, widget=forms.RadioSelect)


class FindForm(forms.Form):
    """What an owner asks."""

    work = forms.ChoiceField(
        label=gettext_lazy("What seems wrong"),
        choices=[("", gettext_lazy("Not sure: any work")), *work.Work.choices],
        required=False,
    )
    country = forms.ChoiceField(label=gettext_lazy("Country"), choices=COUNTRIES, initial="BE")
    place = forms.CharField(
        label=gettext_lazy("Postcode or place"),
        max_length=80,
        widget=forms.TextInput(attrs={"autocomplete": "postal-code"}),
    )
    radius_km = forms.TypedChoiceField(
        label=gettext_lazy("Within"), choices=[(r, f"{r} km") for r in RADII], coerce=int, initial=25
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("country", "radius_km"):
            self.fields[name].width = "short"  # type: ignore[attr-defined]


class WorkshopForm(forms.ModelForm):
    """A workshop's own details; its point comes from its postcode."""

    country = forms.ChoiceField(label=gettext_lazy("Country"), choices=COUNTRIES)

    class Meta:
        model = Workshop
        fields = [
            "name", "street", "country", "postcode", "town", "region", "email", "phone", "business_number",
            "languages", "first_look",
        ]  # fmt: skip

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["region"].queryset = Region.objects.all()  # type: ignore[attr-defined]
        self.fields["business_number"].help_text = _(
            "The VAT or enterprise number, with its country letters or without."
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        country = cleaned.get("country", "")
        if cleaned.get("postcode"):
            place = places.place_of_postcode(country, cleaned["postcode"])
            if place is None:
                self.add_error("postcode", _("Nobody here knows this postcode. Check the country and the code."))
            else:
                self.instance.latitude, self.instance.longitude = place.latitude, place.longitude
        if cleaned.get("business_number") and country:
            try:
                cleaned["business_number"] = business_number(country, cleaned["business_number"])
            except NumberError:
                self.add_error("business_number", _("The check digits don’t fit. Copy the number from a letterhead."))
        return cleaned


def business_number(country: str, text: str) -> str:
    """The number as its country writes it without blanks; raises stdnum's error where its check digits don't fit."""
    module = get_cc_module(country.lower(), "vat")
    if module is None:
        raise NumberError
    return str(module.validate(text))


class PersonForm(forms.Form):
    """One person of the workshop, with the paper that proves what they are qualified for."""

    name = forms.CharField(label=gettext_lazy("Name"), max_length=120)
    email = forms.EmailField(label=gettext_lazy("E-mail"), max_length=254)
    role = forms.ChoiceField(
        label=gettext_lazy("Role"), choices=Membership.Role.choices, initial=Membership.Role.TECHNICIAN
    )
    title = forms.CharField(label=gettext_lazy("Qualification"), max_length=160)
    issuer = forms.CharField(label=gettext_lazy("Issued by"), max_length=160)
    certificate = forms.CharField(label=gettext_lazy("Certificate number"), max_length=60)
    covers = forms.MultipleChoiceField(
        label=gettext_lazy("It covers"), choices=work.Work.choices, widget=forms.CheckboxSelectMultiple
    )
    live_work = forms.BooleanField(
        label=gettext_lazy("It authorises work on live high-voltage systems"), required=False
    )
    expires_on = forms.DateField(label=gettext_lazy("Runs out on"), widget=forms.DateInput(attrs={"type": "date"}))

    def clean_expires_on(self) -> Any:
        day = self.cleaned_data["expires_on"]
        if day < timezone.localdate():
            raise ValidationError(_("This paper has run out already."))
        return day

    def qualification(self, holder: User) -> Qualification:
        typed = self.cleaned_data
        return Qualification(
            holder=holder,
            title=typed["title"],
            issuer=typed["issuer"],
            certificate=typed["certificate"],
            work_bits=work.to_bits(typed["covers"]),
            live_work=typed["live_work"],
            expires_on=typed["expires_on"],
        )


class PeopleFormSet(forms.BaseFormSet):
    def _construct_form(self, i: int, **kwargs: Any) -> PersonForm:
        """The first row must be filled in; later ones may stay empty."""
        more = {"empty_permitted": True} if i else {}
        return super()._construct_form(i, **more | kwargs)  # type: ignore[misc]

    @property
    def named(self) -> list[PersonForm]:
        """The people that were filled in: rows after the first may stay empty."""
        return [form for form in self.forms if form.cleaned_data]

    def clean(self) -> None:
        """Nobody twice."""
        named = [form.cleaned_data.get("email", "").lower() for form in self.forms if form.is_valid()]
        addresses = [address for address in named if address]
        if len(addresses) != len(set(addresses)):
            raise ValidationError(_("Two people have the same e-mail address. Give each their own."))


People: type[PeopleFormSet] = forms.formset_factory(  # type: ignore[assignment]
    PersonForm,
    formset=PeopleFormSet,
    min_num=1,
    extra=0,
    max_num=MOST_PEOPLE,
    absolute_max=MOST_PEOPLE + 1,
    validate_min=True,
    validate_max=True,
)


class DecisionForm(forms.Form):
    """Approve or decline, with the reason, and how each paper was verified."""

    decision = forms.ChoiceField(
        label=gettext_lazy("Decision"),
        choices=[("approve", gettext_lazy("approve")), ("decline", gettext_lazy("decline"))],
        widget=forms.RadioSelect,
    )
    reason = forms.CharField(
        label=gettext_lazy("Reason, which the applicant reads"),
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, *args: Any, papers: list[Qualification], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for paper in papers:
            self.fields[f"paper_{paper.pk}"] = forms.ChoiceField(
                label=f"{paper.holder.name}: {paper.title}, {paper.issuer}, {paper.certificate}",
                help_text=_("covers %(work)s; runs out on %(day)s")
                % {"work": ", ".join(work.phrases(paper.work_bits)), "day": date_format(paper.expires_on, "j M Y")},
                choices=[("", _("not verified")), *Qualification.Proof.choices],
                required=False,
            )
        self.order_fields([*(f"paper_{p.pk}" for p in papers), "decision", "reason"])

    def seen(self) -> dict[int, str]:
        """Which papers were verified, and how."""
        return {
            int(name.removeprefix("paper_")): how
            for name, how in self.cleaned_data.items()
            if name.startswith("paper_") and how
        }

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        verified = any(how for name, how in cleaned.items() if name.startswith("paper_"))
        if cleaned.get("decision") == "approve" and not verified:
            raise ValidationError(
                _("A workshop is approved on at least one verified paper. Say which one was verified.")
            )
        return cleaned


class PaperDecisionForm(forms.Form):
    """How one paper was verified, or why it was not."""

    decision = forms.ChoiceField(
        label=gettext_lazy("Decision"),
        choices=[*Qualification.Proof.choices, ("refuse", gettext_lazy("not verified"))],
        widget=forms.RadioSelect,
    )
    reason = forms.CharField(
        label=gettext_lazy("Reason, which the workshop reads"), max_length=1000, required=False,
        help_text=gettext_lazy("needed where it is not verified"), widget=forms.Textarea(attrs={"rows": 3}),
    )  # fmt: skip

    def decided(self) -> dict[str, str]:
        """What the verb takes: how it was verified, empty where it was not, and why."""
        said = self.cleaned_data["decision"]
        return {"proof": "" if said == "refuse" else said, "reason": self.cleaned_data["reason"]}

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("decision") == "refuse" and not cleaned.get("reason"):
            self.add_error("reason", _("Say why, so that the workshop knows what to send instead."))
        return cleaned


class OurWorkshopForm(forms.ModelForm):
    """What managers may change themselves."""

    class Meta:
        model = Workshop
        fields = ["phone", "email", "languages", "first_look"]


class ApiTokenForm(forms.Form):
    """A new token needs a name only: by it a manager knows which one to revoke."""

    name = forms.CharField(
        label=gettext_lazy("What will use it"),
        max_length=60,
        help_text=gettext_lazy("For instance: logger of bench 2"),
    )


class SigningCodeForm(forms.Form):
    """One's own short code, typed twice."""

    code = forms.CharField(
        label=gettext_lazy("Signing code, 6 to 8 digits"),
        max_length=8,
        widget=forms.PasswordInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
    )
    again = forms.CharField(
        label=gettext_lazy("The same once more"),
        max_length=8,
        widget=forms.PasswordInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
    )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if cleaned.get("code") and cleaned.get("again") and cleaned["code"] != cleaned["again"]:
            self.add_error("again", _("The two differ."))
        return cleaned
