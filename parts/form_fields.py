"""Fields of the board's forms: one line of text, an amount of money, each refused with a sentence."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from network.asked import NO_KEY, key_of
from network.private_text import IN_A_TEXT, Shape, private_pieces

AMOUNT = re.compile(r"[0-9]{1,7}(?:[.,][0-9]{1,3})?")
BLANKS = re.compile(r"[\s'’]+")  # how people group thousands


class SharedText(forms.CharField):
    """A text that other workshops read. On one line it can't carry a line break into the head of a mail."""

    def __init__(self, *, shapes: tuple[Shape, ...] = IN_A_TEXT, **kwargs: Any) -> None:
        self.shapes = shapes
        super().__init__(**kwargs)

    def to_python(self, value: Any) -> str:
        text = super().to_python(value) or ""
        return text if isinstance(self.widget, forms.Textarea) else " ".join(text.split())

    def validate(self, value: str) -> None:
        super().validate(value)
        pieces = private_pieces(value, self.shapes)
        if pieces:
            raise ValidationError(
                _("Other workshops read this. Write it without %(pieces)s."), params={"pieces": ", ".join(pieces)}
            )


class ManyField(forms.ModelMultipleChoiceField):
    """Ticked rows by their keys. Django asks the database for any figure, and SQLite raises for a long one."""

    def clean(self, value: Any) -> Any:
        keys = value if isinstance(value, list | tuple) else []
        if NO_KEY in map(key_of, keys):
            raise ValidationError(self.error_messages["invalid_choice"], code="invalid_choice")
        return super().clean(value)


class MoneyField(forms.Field):
    """An amount as people write it: comma or point before the cents, blanks between thousands; not below zero."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "maxlength": "20"})

    def to_python(self, value: Any) -> Decimal | None:
        text = BLANKS.sub("", str(value or ""))
        if not text:
            return None
        if re.fullmatch(r"[-−]\d.*", text):
            raise ValidationError(_("It can’t be below zero."))
        if not AMOUNT.fullmatch(text):
            raise ValidationError(_("Write an amount such as 412.50, of at most seven figures before the point."))
        return Decimal(text.replace(",", "."))
