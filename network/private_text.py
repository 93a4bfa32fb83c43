"""What must not stand in a text that other workshops read: pieces that could tell who the customer or the car is.

A registration can't be told from a part number, so the pages ask in words to leave it out.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from django.utils.translation import gettext as _

Shape = tuple[re.Pattern[str], Callable[[], str]]

MAIL: Shape = (re.compile(r"[^\s@]+@[^\s@]+\.\w+"), lambda: _("an e-mail address"))
# ISO 3779: seventeen letters and figures without I, O and Q; both kinds, or it is a serial number.
VIN: Shape = (
    re.compile(r"\b(?=[A-HJ-NPR-Z0-9]*\d)(?=[A-HJ-NPR-Z0-9]*[A-HJ-NPR-Z])[A-HJ-NPR-Z0-9]{17}\b", re.IGNORECASE),
    lambda: _("a VIN"),
)
# ITU-T E.123: international numbers begin with +; many write 00. Other rows of figures may be part numbers.
PHONE: Shape = (re.compile(r"(?<!\w)(?:\+|00)\d[\d ()/.-]{7,}\d"), lambda: _("a phone number"))

IN_A_NUMBER = (MAIL, VIN)  # a part number may begin with 00
IN_A_TEXT = (MAIL, VIN, PHONE)


def private_pieces(text: str, shapes: tuple[Shape, ...] = IN_A_TEXT) -> list[str]:
    """The pieces of the text that look private, in words for the form: what it seems to be, and the piece itself."""
    return [f"{name()} ({found.group(0)})" for shape, name in shapes for found in shape.finditer(text)]
