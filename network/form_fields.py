"""Form fields that every app uses."""

from __future__ import annotations

import re
from typing import Any

from django import forms

BLANKS = re.compile(r"[\s\u00a0\u202f'’]+")  # how people group thousands


class CommaField(forms.DecimalField):
    """A figure with decimal comma or point. Typed as text, for the reason that `WholeField` gives."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})

    def to_python(self, value: Any) -> Any:
        plain = BLANKS.sub("", value).replace(",", ".") if isinstance(value, str) else value
        return super().to_python(plain)


class WholeField(forms.IntegerField):
    """A whole number, thousands grouped or not. Typed as text: a browser throws away what its own field for numbers
    can't read, and nobody sees what was wrong."""

    widget = forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"})

    def to_python(self, value: Any) -> int | None:
        return super().to_python(BLANKS.sub("", value) if isinstance(value, str) else value)
