"""Forms of making safe: what each step asks for, who signs it, and who is present."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.form_fields import FigureField
from diagnostics.kind import Figure
from jobs.making_safe import GLOVE_VOLTS
from jobs.models import SafeStep, StateChange
from network.models import Membership, User

Code = SafeStep.Code


def _tick(label: Any) -> forms.BooleanField:
    sentence = gettext_lazy("Tick it when it is done; until then the step stays open.")
    return forms.BooleanField(label=label, error_messages={"required": sentence})


def _text(label: Any, help_text: Any = "", longest: int = 200) -> forms.CharField:
    return forms.CharField(label=label, max_length=longest, help_text=help_text)


def fields_of(step: str) -> dict[str, forms.Field]:
    """What a step asks for, by name; the names are those of its facts."""
    match step:
        case Code.CHARGE_LEAD:
            return {"done": _tick(_("The charge lead is out, and remote preconditioning is off"))}
        case Code.WHEELS:
            return {"done": _tick(_("The wheels are blocked"))}
        case Code.KEY:
            return {"where": _text(_("Key locked away where"), _("Far enough that the car can’t hear it."))}
        case Code.TWELVE_VOLT:
            return {"done": _tick(_("12 V is off, as the maker says"))}
        case Code.GLOVES:
            return {
                "glove_class": forms.ChoiceField(label=_("Class of the gloves"), choices=[(c, c) for c in GLOVE_VOLTS]),
                "in_date_until": forms.DateField(
                    label=_("In date until"), widget=forms.DateInput(attrs={"type": "date"})
                ),
                "air_tested": _tick(_("Air-tested just now, no hole, no crack")),
            }
        case Code.DISCONNECT:
            return {
                "how": _text(
                    _("Service disconnect out and locked away where; or the maker’s way where there is none"),
                    _("For instance: box 3, key with Ilse. Or: document and page of the maker’s way."),
                )
            }
        case Code.WAIT:
            wait = Figure(name="minutes", label=_("The maker’s waiting time"), unit=_("minutes"), low=0, high=600)
            return {
                "minutes": FigureField(wait),
                "source": _text(_("Where it is written"), _("Not known: stop here and look it up.")),
                "done": _tick(_("It is over")),
            }
        case Code.PROVING_SOURCE:
            return {"proving_source": _text(_("Known source that the meter is proved on"))}
    return {"points": _text(_("Measuring points"), _("For instance: inverter inlet, plus and minus; body: bolt M8."))}


def facts_in_words(step: str, facts: Mapping[str, Any]) -> list[str]:
    """What was noted at a step, each figure and date with what it is; a text alone speaks for itself."""
    said = []
    for name, field in fields_of(step).items():
        fact = facts.get(name)
        if fact is None or fact is True:
            continue
        if isinstance(field, forms.DateField):
            fact = date_format(datetime.date.fromisoformat(fact), "DATE_FORMAT")
        if isinstance(field, FigureField):
            said.append(f"{fact:g} {field.unit}")
        elif name in ("glove_class", "in_date_until"):
            said.append(f"{field.label}: {fact}")
        else:
            said.append(str(fact))
    return said


class SigningForm(forms.Form):
    """Who signs, with their code, and who is present: the last fields of every form in the bay."""

    signer = forms.ModelChoiceField(label=gettext_lazy("Who signs"), queryset=User.objects.none())
    code = forms.CharField(
        label=gettext_lazy("Their signing code"),
        max_length=8,
        strip=True,
        widget=forms.PasswordInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
    )
    beside = forms.ModelChoiceField(
        label=gettext_lazy("Second person present"), queryset=User.objects.none(), required=False
    )

    def __init__(self, *args: Any, device: Membership, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        people = User.objects.filter(
            memberships__in=Membership.objects.able_to_act().filter(workshop=device.workshop_id)
        ).order_by("name")
        self.fields["signer"].queryset = people  # type: ignore[attr-defined]
        self.fields["beside"].queryset = people  # type: ignore[attr-defined]


class StepForm(SigningForm):
    """One step of making safe."""

    def __init__(self, *args: Any, step: str, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.step = step
        asked = fields_of(step)
        self.fields = {**asked, **self.fields}
        self.asked = tuple(asked)

    def facts(self) -> dict[str, Any]:
        """What was asked for, as it is kept."""
        typed = {name: self.cleaned_data[name] for name in self.asked}
        return {name: v.isoformat() if isinstance(v, datetime.date) else v for name, v in typed.items()}


class StateChangeForm(SigningForm):
    """The car is no longer dead."""

    what = forms.ChoiceField(label=gettext_lazy("What changes"), choices=StateChange.What)
    words = forms.CharField(label=gettext_lazy("Why"), max_length=300)
    field_order = ["what", "words", "signer", "code", "beside"]
