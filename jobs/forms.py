"""The form of a signed entry, and codes out of a line."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.form_fields import read_figure
from jobs import working
from jobs.models import Job, SignedEntry
from network.models import Membership

HIGHEST_TORQUE_NM = 2000.0  # beyond any screw of a car: a slip of the decimal point (common practice, no source)
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


class TorqueField(forms.CharField):
    """A torque in newton metres, with decimal comma or point; None where nothing was typed."""

    unit = "N·m"
    width = "short"

    def __init__(self, **kwargs: Any) -> None:
        named: dict[str, Any] = {"label": gettext_lazy("Torque"), "required": False, "max_length": 12}
        super().__init__(widget=forms.TextInput(attrs={"inputmode": "decimal"}), **(named | kwargs))

    def clean(self, value: Any) -> float | None:
        text = super().clean(value)
        if not text:
            return None
        torque = read_figure(text, "")
        if not 0 < torque <= HIGHEST_TORQUE_NM:
            raise ValidationError(
                _("%(torque)s N·m can't be: it should lie between 0 and %(highest)s."),
                params={"torque": f"{torque:g}", "highest": f"{HIGHEST_TORQUE_NM:g}"},
            )
        return torque


class ToolField(forms.CharField):
    """The tool that a torque was kept with."""

    width = "half"

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(label=gettext_lazy("Tool, its number"), required=False, max_length=80, **kwargs)


class EntryForm(forms.Form):
    """One signed entry: what was seen or done, and whether it is good."""

    words = forms.CharField(label="", max_length=2000, widget=forms.Textarea(attrs={"rows": 3}))
    torque = TorqueField()
    tool = ToolField()
    good = forms.TypedChoiceField(
        label=gettext_lazy("It is"),
        choices=[("yes", gettext_lazy("good: it meets what is asked")), ("no", gettext_lazy("not good"))],
        coerce=lambda value: value == "yes",
        initial="yes",
    )

    # How many entries of this step its reader saw; whoever sends none is not asked.
    seen = forms.IntegerField(required=False, widget=forms.HiddenInput, min_value=0, max_value=1_000_000)

    def __init__(self, *args: Any, ask: Any, judged: bool, torque: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["words"].label = ask
        self.fields["words"].required = not torque
        for name in ([] if judged else ["good"]) + ([] if torque else ["torque", "tool"]):
            del self.fields[name]

    def refuse_if_overtaken(self, stand: int) -> None:
        """Raise CannotBeSigned when somebody signed since the page was opened; sent again, it knows of that."""
        seen = self.cleaned_data["seen"]
        if seen is not None and seen != stand:
            self.data = {**self.data, "words": self.data.get("words"), "seen": str(stand)}
            raise working.CannotBeSigned(
                _("Somebody signed this while you had it open; read it below. Sign again, and yours counts as newest.")
            )

    def sign(self, *, job: Job, step: str, by: Membership) -> SignedEntry:
        typed = self.cleaned_data
        return working.sign(
            job=job, step=step, words=typed["words"], good=typed.get("good", True), by=by,
            torque_nm=typed.get("torque"), tool=typed.get("tool", ""),
        )  # fmt: skip
