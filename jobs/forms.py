"""The form of a signed entry, and codes out of a line."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

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

    def __init__(self, *args: Any, ask: Any, judged: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["words"].label = ask
        if not judged:
            del self.fields["good"]
