"""Vehicle identification numbers: the check digit, and what is wrong with a number as it was typed."""

from dataclasses import dataclass

LENGTH = 17  # ISO 3779
CHECK_POSITION = 8  # position 9 counted from 1, 49 CFR 565.15(c)
WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)  # 49 CFR 565.15(c), table IV
VALUES = {  # 49 CFR 565.15(c), table III; I, O and Q are too like 1 and 0 and have none
    **{str(digit): digit for digit in range(10)},
    **dict(zip("ABCDEFGH", range(1, 9), strict=True)),
    **dict(zip("JKLMN", range(1, 6), strict=True)),
    "P": 7,
    "R": 9,
    **dict(zip("STUVWXYZ", range(2, 10), strict=True)),
}
CHECK_DIGITS = "0123456789X"  # remainder 10 is written X, 49 CFR 565.15(c)
NORTH_AMERICA = "12345"  # first characters of the region that demands the check digit, ISO 3780, from memory


@dataclass(frozen=True, kw_only=True)
class VinProblem:
    """One thing that is wrong with a vehicle identification number.

    Fields:
        code [-], text: length, character or check_digit.
        severity [-], text: error, or remark where the number may still be right.
        message [-], text: the same as one English sentence.
    Valid range: made by ``problems``; nothing is checked here.
    Example:
        >>> VinProblem(code="length", severity="error", message="It has 16 characters.").severity
        'error'

    Source: the project's own rule.
    """

    code: str
    severity: str
    message: str


def check_digit(*, vin: str) -> str:
    """Return the check digit that belongs at position 9 of a vehicle identification number.

    Formula: each character has a value (digits their own, A to H 1 to 8, J to N 1 to 5, P 7, R 9, S to Z 2 to 9);
    the sum of value x weight, weights 8 7 6 5 4 3 2 10 0 9 8 7 6 5 4 3 2, modulo 11; a remainder of 10 is X.

    Parameters:
        vin [-], text: 17 characters, upper or lower case; what stands at position 9 doesn't matter and may be "?".
    Returns:
        [-] one of 0 to 9 and X.
    Valid range: ``ValueError`` for another length, and for any character that can't stand in such a number (I, O, Q,
        blanks, signs, letters with accents).
    Example:
        >>> check_digit(vin="1G4AH59H?5G118341")
        '4'

    Source: 49 CFR 565.15(c), sample of table V, copied text.
    """
    text = _text(vin)
    if len(text) != LENGTH:
        raise ValueError(f"The argument vin must have {LENGTH} characters, but it is {vin!r}.")
    strange = [position for position in _strange_positions(text) if position != CHECK_POSITION]
    if strange:
        raise ValueError(
            f"The argument vin must hold digits and letters without I, O and Q, but position {strange[0] + 1} "
            f"of {vin!r} holds {vin[strange[0]]!r}."
        )
    summed = sum(
        VALUES[character] * weight
        for position, (character, weight) in enumerate(zip(text, WEIGHTS, strict=True))
        if position != CHECK_POSITION
    )
    return CHECK_DIGITS[summed % 11]


def problems(*, vin: str) -> tuple[VinProblem, ...]:
    """Return everything that is wrong with a vehicle identification number.

    Formula: 17 characters; digits and letters without I, O and Q; position 9 equal to ``check_digit``. The check digit
    is compulsory in North America only (first character 1 to 5): elsewhere a wrong one is a remark. It is compared
    only where nothing else is wrong.

    Parameters:
        vin [-], text: the number as typed; lower case counts as upper case, blanks count as characters.
    Returns:
        [-] the problems, the worst first; empty where there is none.
    Valid range: any text. ``ValueError`` for what is no text.
    Example:
        >>> problems(vin="JH2RC3605MM101581")
        ()
        >>> [(problem.code, problem.severity) for problem in problems(vin="JH2RC3601MM101581")]
        [('check_digit', 'remark')]

    Source: 49 CFR 565.15(c); ISO 3779 (that the digit is not compulsory elsewhere: from memory).
    """
    text = _text(vin)
    found = []
    if len(text) != LENGTH:
        found.append(_error("length", f"It has {len(text)} characters instead of {LENGTH}."))
    strange = _strange_positions(text)
    if strange:
        places = ", ".join(f"{text[position]!r} at position {position + 1}" for position in strange)
        found.append(
            _error(
                "character",
                f"It holds what can't stand in such a number: {places}. I, O and Q never do: look for 1 or 0.",
            )
        )
    if not found:
        right = check_digit(vin=text)
        if text[CHECK_POSITION] != right:
            compulsory = text[0] in NORTH_AMERICA
            found.append(
                VinProblem(
                    code="check_digit",
                    severity="error" if compulsory else "remark",
                    message=f"Position 9 holds {text[CHECK_POSITION]!r}, but the others call for {right!r}.",
                )
            )
    return tuple(found)


def _error(code: str, message: str) -> VinProblem:
    """Return a problem with which the number can't be right."""
    return VinProblem(code=code, severity="error", message=message)


def _text(vin: object) -> str:
    """Return the number in capitals, character by character so that none becomes two, or refuse what is no text."""
    if not isinstance(vin, str):
        raise ValueError(f"The argument vin must be a text, but it is {vin!r}.")
    return "".join(character.upper() if character.isascii() else character for character in vin)


def _strange_positions(text: str) -> list[int]:
    """Return the positions, from 0, of characters that can't stand in such a number."""
    return [position for position, character in enumerate(text) if character not in VALUES]
