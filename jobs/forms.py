"""The form of a signed entry, and codes out of a line."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs import working
from jobs.models import Job, SignedEntry
from network.models import Membership

CODE = re.compile(r"^[PCBU][0-3][0-9A-F]{3}(-[0-9A-F]{2})?$")  # ISO 15031-6, with the failure type of ISO 14229


def clean_codes(text: str) -> tuple[str, ...]:
    """Trouble codes out of a line of text, each once; names the first word that isn't one."""
    words = [word for word in re.split(r"[\s,;]+", text.upper()) if word]
    for word in words:
        if not CODE.match(word):
            raise ValidationError(
                _("“%(word)s” is not a trouble code. A code is a letter P, C, B or U, a digit 0 to 3 and three more."),
                params={"word": word},
            )
    return tuple(dict.fromkeys(words))


class EntryForm(forms.Form):
    """One signed entry: what was seen or done, and whether it is good."""

    words = forms.CharField(label="", max_length=2000, widget=forms.Textarea(attrs={"rows": 3}))
    good = forms.TypedChoiceField(
        label=gettext_lazy("It is"),
        choices=[("yes", gettext_lazy("good: it meets what is asked")), ("no", gettext_lazy("not good"))],
        coerce=lambda value: value == "yes",
        initial="yes",
    )

    # How many entries of this step its reader saw; whoever sends none is not asked.
    seen = forms.IntegerField(required=False, widget=forms.HiddenInput, min_value=0, max_value=1_000_000)

    def __init__(self, *args: Any, ask: Any, judged: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["words"].label = ask
        if not judged:
            del self.fields["good"]

    def refuse_if_overtaken(self, stand: int) -> None:
        """Raise CannotBeSigned when somebody signed since the page was opened; sent again, it knows of that."""
        seen = self.cleaned_data["seen"]
        if seen is not None and seen != stand:
            self.data = {**self.data, "words": self.data.get("words"), "seen": str(stand)}
            raise working.CannotBeSigned(
                _("Somebody signed this while you had it open; read it below. Sign again, and yours counts as newest.")
            )

    def sign(self, *, job: Job, step: str, by: Membership) -> SignedEntry:
        good, words = self.cleaned_data.get("good", True), self.cleaned_data["words"]
        return working.sign(job=job, step=step, words=words, good=good, by=by)
