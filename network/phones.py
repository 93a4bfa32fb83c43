"""A phone number as people write it: no form of any country is asked, only that somebody can be reached by it."""

from __future__ import annotations

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

LEAST_DIGITS = 5


def can_be_dialled(text: str) -> None:
    """Refuse what holds fewer digits than any number one can dial, or letters."""
    digits = sum(sign.isdigit() for sign in text)
    if digits < LEAST_DIGITS or any(sign.isalpha() for sign in text):
        raise ValidationError(_("A phone number in digits, as it is dialled from abroad: +32 4 555 01 02."))
