"""Part numbers as they are compared: what the maker prints, without the blanks and dashes between."""

import unicodedata

LONGEST_NUMBER = 40


def normalise(*, number: str) -> str:
    """Return the part number in the one form in which numbers are compared.

    Formula: compatibility forms folded (NFKC: a full-width letter is the letter), upper case, letters and digits only,
    until nothing changes any more. Letters and digits of every alphabet count, and look-alikes stay apart: the letter
    O and the figure 0, the letter I and the figure 1, a Latin and a Cyrillic A are different, as they are on the plate.

    Parameters:
        number [-], text: the number as somebody wrote it, with blanks, dashes, dots or slashes.
    Returns:
        [-] the number as it is stored and compared; empty where the text holds no letter or digit.
    Valid range: any text; ``ValueError`` for anything that is no text.
    Example:
        >>> normalise(number="ln 27 410-0")
        'LN274100'
        >>> normalise(number="O0") == normalise(number="00")
        False

    Source: common practice, no source.
    """
    if not isinstance(number, str):
        raise ValueError(f"The argument number must be a text, but it is {number!r}.")
    folded = "".join(sign for sign in unicodedata.normalize("NFKC", number).upper() if sign.isalnum())
    return folded if folded == number else normalise(number=folded)
