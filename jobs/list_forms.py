"""Forms of the lists of fitting and proving: signing their steps on a job, and changing the workshop's own list."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.forms.boundfield import BoundField
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.kinds import all_kinds
from jobs.forms import ToolField, TorqueField
from jobs.models import ListedStep
from jobs.requirements.kinds import ByEntry
from jobs.standing import Standing


@dataclass(frozen=True, kw_only=True)
class Row:
    """One step of the list, with the fields that sign it; none where it is met or is measured."""

    standing: Standing
    fields: list[BoundField]


class StepsForm(forms.Form):
    """The steps that are signed and stand open. What is filled in is signed, what is left empty stays open."""

    def __init__(self, *args: Any, standings: Sequence[Standing], tool: str = "", **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.standings = standings
        for one in standings:
            asked = one.requirement
            if one.met or not isinstance(asked, ByEntry):
                continue
            if asked.torque:
                self.fields[f"torque-{one.code}"] = TorqueField()
                self.fields[f"tool-{one.code}"] = ToolField(initial=tool)
            self.fields[f"words-{one.code}"] = forms.CharField(
                label=str(asked.ask), required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 2})
            )

    @property
    def rows(self) -> list[Row]:
        return [
            Row(
                standing=one,
                fields=[self[f"{name}-{one.code}"] for name in ("torque", "tool", "words") if self._asks(name, one)],
            )
            for one in self.standings
        ]

    def _asks(self, name: str, one: Standing) -> bool:
        return f"{name}-{one.code}" in self.fields

    def overtaken(self) -> list[str]:
        """What was typed for steps that somebody else signed, waived or took out since the page was opened."""
        titles = {one.code: f"“{one.title}”: {one.why or _('met')}" for one in self.standings}
        found = []
        for name, value in self.data.items():
            what, _dash, code = name.partition("-")
            if what in ("words", "torque") and str(value).strip() and name not in self.fields:
                found.append(
                    _("%(step)s. It no longer waits; what you typed for it was not signed: %(typed)s")
                    % {"step": titles.get(code, f"“{code}”"), "typed": value}
                )
        return found

    def clean(self) -> dict[str, Any]:
        typed: dict[str, Any] = super().clean() or {}
        for sentence in self.overtaken():
            self.add_error(None, sentence)
        for one in self.standings:
            if f"torque-{one.code}" not in self.fields or f"torque-{one.code}" in self.errors:
                continue
            torque, tool = typed.get(f"torque-{one.code}"), typed.get(f"tool-{one.code}")
            if torque and not tool:
                self.add_error(f"tool-{one.code}", _("Name the tool that the torque was kept with."))
            if typed.get(f"words-{one.code}") and not torque:
                self.add_error(f"torque-{one.code}", _("Type the torque as well."))
        if not self.errors and not self.filled:
            raise forms.ValidationError(_("Nothing is filled in yet. Write what was done at one step or more."))
        return typed

    @property
    def filled(self) -> list[dict[str, Any]]:
        """What is to be signed, in the order of the list."""
        typed, found = self.cleaned_data, []
        for one in self.standings:
            words, torque = typed.get(f"words-{one.code}") or "", typed.get(f"torque-{one.code}")
            if words or torque:
                tool = typed.get(f"tool-{one.code}") or ""
                found.append({"step": one.code, "words": words, "torque_nm": torque, "tool": tool})
        return found


class ListedStepForm(forms.ModelForm):
    """A step that is put on the workshop's list."""

    kind = forms.ChoiceField(
        label=gettext_lazy("Kind of record"), required=False, help_text=gettext_lazy("Only where a record meets it.")
    )

    class Meta:
        model = ListedStep
        fields = ["title", "ask", "how", "dead", "waivable"]

    field_order = ["title", "ask", "how", "kind", "dead", "waivable"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        kinds = sorted(((k.code, str(k.title)) for k in all_kinds().values()), key=lambda pair: pair[1])
        self.fields["kind"].choices = [("", "—"), *kinds]  # type: ignore[attr-defined]
        self.fields["how"].initial = ListedStep.How.WORDS

    def clean(self) -> dict[str, Any]:
        typed: dict[str, Any] = super().clean() or {}
        how = typed.get("how")
        if how == ListedStep.How.RECORD and not typed.get("kind"):
            self.add_error("kind", _("Choose the kind of record that meets it."))
        if how in (ListedStep.How.WORDS, ListedStep.How.TORQUE) and not typed.get("ask"):
            self.add_error("ask", _("Say what is to be written down."))
        return typed

    @property
    def typed(self) -> dict[str, Any]:
        """The fields of the row."""
        facts = {name: self.cleaned_data[name] for name in ("title", "ask", "how", "dead", "waivable")}
        signed = facts["how"] in (ListedStep.How.WORDS, ListedStep.How.TORQUE)
        return facts | {
            "dead": signed and facts["dead"],
            "kinds": [self.cleaned_data["kind"]] if facts["how"] == ListedStep.How.RECORD else [],
        }


class WordsForm(forms.Form):
    """Another title, or other words to ask for."""

    title = forms.CharField(label=gettext_lazy("Step"), max_length=80)
    ask = forms.CharField(label=gettext_lazy("What is written down"), max_length=300, required=False)
