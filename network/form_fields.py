"""Form fields that every app uses."""

from __future__ import annotations

import re
from typing import Any

from django import forms

BLANKS = re.compile(r"[\s\u00a0\u202f'’]+")  # how people group thousands


class WholeField(forms.IntegerField):
    """A whole number, thousands grouped or not. Typed as text: a browser throws away what its own field for numbers
    can't read, and nobody sees what was wrong."""

    widget = forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"})

    def to_python(self, value: Any) -> int | None:
        return super().to_python(BLANKS.sub("", value) if isinstance(value, str) else value)
