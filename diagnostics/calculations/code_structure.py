"""What a trouble code says by its structure alone, and the codes that stand in any text."""

import re
from dataclasses import dataclass

PARTS_OF_THE_CAR = {"P": "powertrain", "C": "chassis", "B": "body", "U": "network"}  # SAE J2012 / ISO 15031-6
# Second characters whose codes the standard itself defines; the others are the maker's.
STANDARD = {"P": "02", "C": "03", "B": "03", "U": "03"}  # SAE J2012 / ISO 15031-6, as quoted in a code reader's manual
MAKERS_P3 = range(0x400)  # of P3, the first quarter is the maker's: P3000 to P33FF, ibidem
# A letter, a digit 0 to 3 and three more; then, if it follows at once, a failure type or a detail number of the maker.
IN_TEXT = re.compile(
    r"(?<![A-Za-z0-9])([PCBU][0-3][0-9A-F]{3})(?:[-–:. ]?([0-9A-F]{2})|[-–:./]([0-9]{3}))?(?![A-Za-z0-9])"
)


@dataclass(frozen=True, kw_only=True)
class Structure:
    """What the five characters say before anybody has looked the code up.

    Fields:
        part [-], text: powertrain, chassis, body or network.
        defined_by [-], text: standard, or maker where only the maker's own list tells what it means.
    Valid range: made by ``structure``; nothing is checked here.
    Example:
        >>> Structure(part="powertrain", defined_by="standard").part
        'powertrain'

    Source: SAE J2012 / ISO 15031-6, as quoted in a code reader's manual.
    """

    part: str
    defined_by: str


@dataclass(frozen=True, kw_only=True)
class FoundCode:
    """A trouble code that stands in a text.

    Fields:
        code [-], text: five characters.
        detail [-], text: a failure type of two hexadecimal digits, a maker's number of three digits, or empty.
    Valid range: made by ``find_codes``; nothing is checked here.
    Example:
        >>> FoundCode(code="P0A94", detail="").code
        'P0A94'

    Source: the project's own rule.
    """

    code: str
    detail: str


def structure(*, code: str) -> Structure:
    """Return what the five characters of a trouble code say.

    Formula: the letter names the part of the car; the second character, and for P3 the next as well, who defines it.

    Parameters:
        code [-], text: a letter P, C, B or U, a digit 0 to 3 and three hexadecimal digits.
    Returns:
        [-] the part of the car, and who defines the code.
    Valid range: ``ValueError`` for any other text.
    Example:
        >>> structure(code="P1A94").defined_by
        'maker'

    Source: SAE J2012 / ISO 15031-6, as quoted in a code reader's manual; P3FFF as its end, as told at csdn.net,
        article 141681271.
    """
    if not isinstance(code, str) or re.fullmatch(r"[PCBU][0-3][0-9A-F]{3}", code) is None:
        raise ValueError(f"The argument code must be a trouble code of five characters, but it is {code!r}.")
    letter, second = code[0], code[1]
    by_standard = second in STANDARD[letter]
    if letter == "P" and second == "3":
        by_standard = int(code[2:], 16) not in MAKERS_P3
    return Structure(part=PARTS_OF_THE_CAR[letter], defined_by="standard" if by_standard else "maker")


def find_codes(*, text: str) -> tuple[FoundCode, ...]:
    """Return the trouble codes that stand in any text, each once, in their order.

    Formula: capitals; five characters that are no part of a longer word, with what follows them at once as detail.

    Parameters:
        text [-], text: a tool's printout, a mail, a list; anything.
    Returns:
        [-] the codes with their failure type (two digits) or maker's number (three digits) where one follows.
    Valid range: any text. ``ValueError`` for what is no text.
    Example:
        >>> [(found.code, found.detail) for found in find_codes(text="p0a94-1C, and P3009/526 stored")]
        [('P0A94', '1C'), ('P3009', '526')]

    Source: the project's own rule; the shape of a code SAE J2012 / ISO 15031-6, of a failure type ISO 14229-1.
    """
    if not isinstance(text, str):
        raise ValueError(f"The argument text must be a text, but it is {text!r}.")
    capitals = "".join(character.upper() if character.isascii() else character for character in text)
    found = (FoundCode(code=match[1], detail=match[2] or match[3] or "") for match in IN_TEXT.finditer(capitals))
    return tuple(dict.fromkeys(found))
