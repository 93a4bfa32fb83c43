"""Forms of a second pair of eyes: asking for it, and signing a remark."""

from __future__ import annotations

import datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.models import Job
from jobs.second_looks import LONGEST_DAYS
from jobs.sharing import private_pieces
from network.models import Membership


class _Colleagues(forms.ModelChoiceField):
    def label_from_instance(self, obj: Any) -> str:
        return f"{obj.person}, {obj.workshop} ({obj.workshop.town})"


class AskForm(forms.Form):
    """Whom, what, and until when; `job` tells what may not stand in the question."""

    colleague = _Colleagues(
        label=gettext_lazy("Colleague"), queryset=Membership.objects.none(), empty_label=gettext_lazy("choose")
    )
    question = forms.CharField(
        label=gettext_lazy("What you want to know"), max_length=600, widget=forms.Textarea(attrs={"rows": 3})
    )
    lapses_on = forms.DateField(
        label=gettext_lazy("May be read until"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )

    def __init__(self, *args: Any, job: Job, membership: Membership, **kwargs: Any) -> None:
        kwargs.setdefault("initial", {"lapses_on": timezone.localdate() + datetime.timedelta(days=14)})
        super().__init__(*args, **kwargs)
        self.job = job
        others = Membership.objects.able_to_act().exclude(workshop=membership.workshop_id)
        self.fields["colleague"].queryset = others.select_related("person", "workshop").order_by(  # type: ignore[attr-defined]
            "workshop__name", "person__name"
        )

    def clean_question(self) -> str:
        question = self.cleaned_data["question"]
        if pieces := private_pieces(self.job, question):
            raise ValidationError(
                _("Your colleague may not read this. Write it without %(pieces)s."),
                params={"pieces": ", ".join(pieces)},
            )
        return question

    def clean_lapses_on(self) -> datetime.date:
        day, today = self.cleaned_data["lapses_on"], timezone.localdate()
        if not today <= day <= today + datetime.timedelta(days=LONGEST_DAYS):
            raise ValidationError(_("Choose a day between today and %(n)d days from now."), params={"n": LONGEST_DAYS})
        return day


class RemarkForm(forms.Form):
    words = forms.CharField(
        label=gettext_lazy("Your remark"), max_length=2000, widget=forms.Textarea(attrs={"rows": 5})
    )
