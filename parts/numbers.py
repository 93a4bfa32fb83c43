"""Part numbers as they are compared: what the maker prints, without the blanks and dashes between."""

import sys
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


def sign_after(prefix: str) -> str:
    """The smallest text after every text with this beginning, by the values of the signs; empty where there is none.

    Texts that begin with p are those from p on and before this one: both databases answer that from a plain index.
    Surrogates are skipped: they are no signs, and no database stores them.
    """
    for place in range(len(prefix) - 1, -1, -1):
        value = ord(prefix[place]) + 1
        if value <= sys.maxunicode:
            return prefix[:place] + chr(0xE000 if 0xD800 <= value <= 0xDFFF else value)
    return ""


def one_typo_apart(one: str, other: str) -> bool:
    """Tell whether one slip of the pen makes one number of the other: a sign too much, missing, wrong, or two swapped.

    That is an optimal string alignment distance of exactly 1 (G. Navarro, A guided tour to approximate string matching,
    ACM Computing Surveys 33(1), 2001), tested against an independent library. Equal texts are not a typo apart.
    """
    if len(one) < len(other):
        one, other = other, one
    if len(one) - len(other) > 1 or one == other:
        return False
    first = next((i for i, sign in enumerate(other) if sign != one[i]), len(other))
    if len(one) > len(other):
        return one[first + 1 :] == other[first:]
    if one[first + 1 :] == other[first + 1 :]:
        return True
    swapped = one[first : first + 2][::-1] == other[first : first + 2]
    return swapped and one[first + 2 :] == other[first + 2 :]
