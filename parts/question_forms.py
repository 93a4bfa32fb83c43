"""The form of a question, and of what somebody watches for."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from diagnostics.part_kinds import PartKind
from network.models import Region
from parts.form_fields import SharedText
from parts.models import Watch


class QuestionForm(forms.Form):
    text = SharedText(
        label=gettext_lazy("Question or reply"), max_length=1000, widget=forms.Textarea(attrs={"rows": 2}),
        help_text=gettext_lazy("everybody who sees the request reads it"),
    )  # fmt: skip


class WatchForm(forms.ModelForm):
    class Meta:
        model = Watch
        fields = ["family", "part_kind", "region"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["family"].empty_label = gettext_lazy("any family")  # type: ignore[attr-defined]
        self.fields["region"].empty_label = gettext_lazy("any region")  # type: ignore[attr-defined]
        self.fields["region"].queryset = Region.objects.all()  # type: ignore[attr-defined]
        kinds = [("", gettext_lazy("any kind")), *PartKind.choices]
        self.fields["part_kind"].choices = kinds  # type: ignore[attr-defined]
