"""Forms of trouble codes: a reading, and what is noted of one code."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs import codes
from jobs.models import CodeReading, JobCode

DETAIL = re.compile(r"[0-9A-F]{0,6}")


class ReadingForm(forms.ModelForm):
    """One reading: what you have, when it was read, and the text or bytes themselves."""

    text = forms.CharField(
        label=gettext_lazy("Codes, the tool's text, or the bytes of the reply"),
        required=False,
        max_length=20_000,
        widget=forms.Textarea(attrs={"rows": 5, "spellcheck": "false"}),
        help_text=gettext_lazy("On a bus that isn't CAN, one frame a line."),
    )
    none_stored = forms.BooleanField(label=gettext_lazy("No code is stored"), required=False)

    class Meta:
        model = CodeReading
        fields = ["stage", "form", "unit"]

    field_order = ["stage", "form", "text", "none_stored", "unit"]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        text = cleaned.get("text", "").strip()
        if "text" in cleaned and not text and not cleaned["none_stored"]:
            self.add_error("text", _("Nothing is written. Paste what the tool shows, or tick that no code is stored."))
        elif text and cleaned["none_stored"]:
            self.add_error("none_stored", _("Codes are written above. Take the tick away, or the codes."))
        elif "text" in cleaned and cleaned.get("form"):
            try:
                cleaned["codes"] = codes.read(text=cleaned["text"], form=cleaned["form"]) if cleaned["text"] else ()
            except ValidationError as wrong:
                self.add_error("text", wrong)
        return cleaned


class NoteForm(forms.Form):
    """The maker's detail number, the freeze frame, and the workshop's own words for the code."""

    detail = forms.CharField(label=gettext_lazy("Failure type or maker's detail number"), required=False, max_length=6)
    words = forms.CharField(
        label=gettext_lazy("What it means, in your words"),
        required=False,
        max_length=300,
        help_text=gettext_lazy("Kept for the next time that you meet this code."),
    )
    freeze_frame = forms.CharField(
        label=gettext_lazy("Freeze frame"),
        required=False,
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false"}),
        help_text=gettext_lazy("One value a line, for instance: link voltage 402 V"),
    )

    def __init__(self, *args: Any, code: JobCode, **kwargs: Any) -> None:
        self.code = code
        super().__init__(*args, **kwargs)

    def clean_detail(self) -> str:
        detail = self.cleaned_data["detail"].strip().upper()
        if DETAIL.fullmatch(detail) is None:
            raise ValidationError(_("Write it in digits and letters A to F, as the tool shows it."))
        same = JobCode.objects.filter(reading=self.code.reading_id, code=self.code.code, detail=detail)
        if same.exclude(pk=self.code.pk).exists():
            raise ValidationError(_("This reading holds that code with that number already."))
        return detail
