"""Forms of the cause, and of a mark on a photo."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.text import Truncator
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.form_fields import FigureField
from diagnostics.kind import Figure
from diagnostics.kinds import kind_of
from diagnostics.models import Record
from diagnostics.summary import found_words
from jobs.causes import earlier_jobs
from jobs.models import Job
from network.pictures import PicturesField


class CauseForm(forms.Form):
    failed_part = forms.CharField(label=gettext_lazy("What failed"), max_length=120)
    made_it_fail = forms.CharField(
        label=gettext_lazy("What made it fail"),
        max_length=1500,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=gettext_lazy("A burnt switch is a symptom. What would burn the next one as well?"),
    )
    evidence = forms.MultipleChoiceField(
        label=gettext_lazy("Records that show it"), required=False, widget=forms.CheckboxSelectMultiple
    )
    repeat_of = forms.ChoiceField(label=gettext_lazy("An earlier repair of ours that did not last"), required=False)
    pictures = PicturesField(label=gettext_lazy("Photos of it; mark them afterwards"))
    seen = forms.IntegerField(widget=forms.HiddenInput, min_value=0, max_value=1_000_000)

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.records = {str(one.pk): one for one in Record.objects.filter(sheet=job.sheet_id).standing()}
        self.earlier = {str(one.pk): one for one in earlier_jobs(job)}
        self._offer("evidence", [(key, _of_record(one)) for key, one in self.records.items()])
        self._offer("repeat_of", [("", _("no")), *((key, _of_job(one)) for key, one in self.earlier.items())])
        if not self.records:
            del self.fields["evidence"]
        if not self.earlier:
            del self.fields["repeat_of"]

    def _offer(self, name: str, choices: list[tuple[str, str]]) -> None:
        self.fields[name].choices = choices  # type: ignore[attr-defined]

    def facts(self) -> dict[str, Any]:
        typed = self.cleaned_data
        return {
            "failed_part": typed["failed_part"],
            "made_it_fail": typed["made_it_fail"],
            "seen": typed["seen"],
            "pictures": typed["pictures"],
            "evidence": [self.records[key] for key in typed.get("evidence", [])],
            "repeat_of": self.earlier.get(typed.get("repeat_of", "")),
        }


def _of_record(record: Record) -> str:
    kind = kind_of(record.kind)
    return Truncator(f"{record.sequence}. {kind.title if kind else record.kind}: {found_words(record)}").chars(110)


def _of_job(job: Job) -> str:
    return f"{job.number}, {date_format(job.booked_in_at, 'j M Y')}: {job.complaint[:60]}"


class MarkForm(forms.Form):
    x = FigureField(Figure(name="x", label=gettext_lazy("From the left"), unit="%", low=0, high=100))
    y = FigureField(Figure(name="y", label=gettext_lazy("From the top"), unit="%", low=0, high=100))
    words = forms.CharField(label=gettext_lazy("What is there"), max_length=120)
