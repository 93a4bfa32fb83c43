"""The checks that every calculation makes of its input, so that each refusal is a full sentence with name and value.

Docstrings of this package keep one order: one sentence; the formula; ``Parameters:`` with one line for each argument
(``name [unit], shape: meaning``, continued lines indented further); ``Returns:`` with its ``[unit]``; ``Valid range:``
with what raises; ``Example:``; ``Source:``. Dataclasses list their ``Fields:`` in the same form.
"""

import math
from collections.abc import Collection, Sequence
from numbers import Real

import numpy as np
from numpy.typing import NDArray

ABSOLUTE_ZERO_C = -273.15  # degrees Celsius; SI brochure, 9th edition, 2.3.1

Row = Sequence[float] | NDArray[np.floating] | NDArray[np.integer]


def number(*, name: str, value: object) -> float:
    """Return the value as a Python float if it is a finite real number.

    Formula: none.

    Parameters:
        name [-], text: name of the argument, for the sentence of the error.
        value [any unit], scalar: what the caller gave; an int or a numpy scalar is as good as a float.
    Returns:
        [unit of the value] the same figure as ``float``.
    Valid range: every finite real number. ``ValueError`` for None, a truth value, text, NaN, infinity and
        anything else.
    Example:
        >>> number(name="reading_ohm", value=3)
        3.0
        >>> number(name="reading_ohm", value=float("nan"))
        Traceback (most recent call last):
        ValueError: The argument reading_ohm must be a finite number, but it is nan.

    Source: the project's own rule.
    """
    sentence = f"The argument {name} must be a finite number, but it is {value!r}."
    if isinstance(value, bool) or not isinstance(value, Real):
        raise ValueError(sentence)
    try:
        plain = float(value)
    except OverflowError:
        raise ValueError(sentence) from None
    if not math.isfinite(plain):
        raise ValueError(sentence)
    return plain


def positive(*, name: str, value: object) -> float:
    """Return the value as a Python float if it is above zero.

    Formula: value > 0.

    Parameters:
        name [-], text: name of the argument, for the sentence of the error.
        value [any unit], scalar: what the caller gave.
    Returns:
        [unit of the value] the same figure as ``float``.
    Valid range: every finite number above zero. ``ValueError`` for anything else.
    Example:
        >>> positive(name="resistor_ohm", value=0)
        Traceback (most recent call last):
        ValueError: The argument resistor_ohm must be above zero, but it is 0.

    Source: the project's own rule.
    """
    plain = number(name=name, value=value)
    if plain <= 0.0:
        raise ValueError(f"The argument {name} must be above zero, but it is {value!r}.")
    return plain


def not_negative(*, name: str, value: object) -> float:
    """Return the value as a Python float if it is zero or above.

    Formula: value >= 0.

    Parameters:
        name [-], text: name of the argument, for the sentence of the error.
        value [any unit], scalar: what the caller gave.
    Returns:
        [unit of the value] the same figure as ``float``.
    Valid range: every finite number from zero up. ``ValueError`` for anything else.
    Example:
        >>> not_negative(name="elapsed_s", value=-1.5)
        Traceback (most recent call last):
        ValueError: The argument elapsed_s must not be negative, but it is -1.5.

    Source: the project's own rule.
    """
    plain = number(name=name, value=value)
    if plain < 0.0:
        raise ValueError(f"The argument {name} must not be negative, but it is {value!r}.")
    return plain


def between(*, name: str, value: object, lowest: float, highest: float) -> float:
    """Return the value as a Python float if it lies between two ends, both included.

    Formula: lowest <= value <= highest.

    Parameters:
        name [-], text: name of the argument, for the sentence of the error.
        value [any unit], scalar: what the caller gave.
        lowest [unit of the value], scalar: the lower end.
        highest [unit of the value], scalar: the upper end.
    Returns:
        [unit of the value] the same figure as ``float``.
    Valid range: from lowest to highest. ``ValueError`` for anything else.
    Example:
        >>> between(name="power_factor", value=1.2, lowest=-1.0, highest=1.0)
        Traceback (most recent call last):
        ValueError: The argument power_factor must lie between -1.0 and 1.0, but it is 1.2.

    Source: the project's own rule.
    """
    plain = number(name=name, value=value)
    if not lowest <= plain <= highest:
        raise ValueError(f"The argument {name} must lie between {lowest!r} and {highest!r}, but it is {value!r}.")
    return plain


def celsius(*, name: str, value: object) -> float:
    """Return a temperature as a Python float if it is not below absolute zero.

    Formula: value >= -273.15.

    Parameters:
        name [-], text: name of the argument, for the sentence of the error.
        value [degrees Celsius], scalar: what the caller gave.
    Returns:
        [degrees Celsius] the same figure as ``float``.
    Valid range: from -273.15 up. ``ValueError`` for anything else.
    Example:
        >>> celsius(name="measured_c", value=-300)
        Traceback (most recent call last):
        ValueError: The argument measured_c must not be below absolute zero (-273.15), but it is -300.

    Source: SI brochure, 9th edition, 2.3.1.
    """
    plain = number(name=name, value=value)
    if plain < ABSOLUTE_ZERO_C:
        raise ValueError(
            f"The argument {name} must not be below absolute zero ({ABSOLUTE_ZERO_C}), but it is {value!r}."
        )
    return plain


def choice(*, name: str, value: object, allowed: Collection[str]) -> str:
    """Return the value if it is one of the allowed words.

    Formula: none.

    Parameters:
        name [-], text: name of the argument, for the sentence of the error.
        value [-], text: what the caller gave.
        allowed [-], row of texts: the words that are known.
    Returns:
        [-] the same word.
    Valid range: the allowed words. ``ValueError`` for anything else.
    Example:
        >>> choice(name="connection", value="star", allowed=("wye", "delta"))
        Traceback (most recent call last):
        ValueError: The argument connection must be one of wye, delta, but it is 'star'.

    Source: the project's own rule.
    """
    if not isinstance(value, str) or value not in allowed:
        raise ValueError(f"The argument {name} must be one of {', '.join(allowed)}, but it is {value!r}.")
    return value


def text(*, name: str, value: object) -> str:
    """Return a text without the blanks around it.

    Formula: none.

    Parameters:
        name [-], text: the argument's name, for the sentence.
        value [-], anything: what was given.
    Returns:
        [-] the text; may be empty.
    Valid range: ``ValueError`` for what is no text.
    Example:
        >>> text(name="unit", value=" ohm ")
        'ohm'

    Source: the project's own rule.
    """
    if not isinstance(value, str):
        raise ValueError(f"The argument {name} must be a text, but it is {value!r}.")
    return value.strip()


def row(*, name: str, values: object, at_least: int = 0) -> NDArray[np.float64]:
    """Return a row of readings as a numpy array of floats if every one of them is a finite number.

    Formula: none.

    Parameters:
        name [-], text: name of the argument, for the sentence of the error.
        values [any unit], row: a list, a tuple or a numpy array with one dimension.
        at_least [-], scalar: the smallest number of readings that makes sense.
    Returns:
        [unit of the values] a new array; the caller's own is never handed on or changed.
    Valid range: finite numbers only. ``ValueError`` for another kind of container, too few readings, and any reading
        that is None, a truth value, text, NaN or infinity.
    Example:
        >>> row(name="volts", values=[1, 2.5]).tolist()
        [1.0, 2.5]
        >>> row(name="volts", values=[1.0, None])
        Traceback (most recent call last):
        ValueError: The argument volts must hold finite numbers only, but position 1 holds None.

    Source: the project's own rule.
    """
    if not isinstance(values, list | tuple | np.ndarray) or (isinstance(values, np.ndarray) and values.ndim != 1):
        raise ValueError(f"The argument {name} must be a row of numbers, but it is {values!r}.")
    if len(values) < at_least:
        raise ValueError(f"The argument {name} must hold at least {at_least} readings, but it is {values!r}.")
    numeric = values.dtype.kind in "iuf" if isinstance(values, np.ndarray) else set(map(type, values)) <= {float, int}
    try:
        plain = np.array(values if numeric else [_element(name, i, v) for i, v in enumerate(values)], dtype=np.float64)
    except OverflowError:
        raise ValueError(f"The argument {name} must hold numbers that a float can carry, but it doesn't.") from None
    bad = np.flatnonzero(~np.isfinite(plain))
    if len(bad) > 0:
        at = int(bad[0])
        raise ValueError(
            f"The argument {name} must hold finite numbers only, but position {at} holds {float(plain[at])!r}."
        )
    return plain


def positive_row(*, name: str, values: object, at_least: int = 0) -> NDArray[np.float64]:
    """Return a row of readings as a numpy array of floats if every one of them is above zero.

    Formula: each value > 0.

    Parameters:
        name [-], text: name of the argument, for the sentence of the error.
        values [any unit], row: a list, a tuple or a numpy array with one dimension.
        at_least [-], scalar: the smallest number of readings that makes sense.
    Returns:
        [unit of the values] a new array.
    Valid range: finite numbers above zero only. ``ValueError`` for anything else, as in ``row``.
    Example:
        >>> positive_row(name="values_ohm", values=(0.1, -0.2))
        Traceback (most recent call last):
        ValueError: The argument values_ohm must hold numbers above zero only, but position 1 holds -0.2.

    Source: the project's own rule.
    """
    plain = row(name=name, values=values, at_least=at_least)
    bad = np.flatnonzero(plain <= 0.0)
    if len(bad) > 0:
        at = int(bad[0])
        raise ValueError(
            f"The argument {name} must hold numbers above zero only, but position {at} holds {float(plain[at])!r}."
        )
    return plain


def times_row(*, name: str, values: object, at_least: int = 0) -> NDArray[np.float64]:
    """Return a row of times as a numpy array of floats if time never runs backwards.

    Formula: each time >= the one before it; equal times are allowed.

    Parameters:
        name [-], text: name of the argument, for the sentence of the error.
        values [s], row: a list, a tuple or a numpy array with one dimension.
        at_least [-], scalar: the smallest number of times that makes sense.
    Returns:
        [s] a new array.
    Valid range: finite numbers that don't fall. ``ValueError`` for anything else, as in ``row``.
    Example:
        >>> times_row(name="times_s", values=[0.0, 2.0, 1.0])
        Traceback (most recent call last):
        ValueError: The argument times_s must not run backwards, but position 2 holds 1.0 after 2.0.

    Source: the project's own rule.
    """
    plain = row(name=name, values=values, at_least=at_least)
    bad = np.flatnonzero(plain[1:] < plain[:-1])
    if len(bad) > 0:
        at = int(bad[0]) + 1
        raise ValueError(
            f"The argument {name} must not run backwards, but position {at} holds {float(plain[at])!r} "
            f"after {float(plain[at - 1])!r}."
        )
    return plain


def same_length(
    *,
    first_name: str,
    first: Sequence[object] | NDArray[np.float64],
    second_name: str,
    second: Sequence[object] | NDArray[np.float64],
) -> None:
    """Refuse two rows whose lengths differ.

    Formula: len(first) = len(second).

    Parameters:
        first_name [-], text: name of the first argument.
        first [any unit], row: the first row.
        second_name [-], text: name of the second argument.
        second [any unit], row: the second row.
    Returns:
        [-] nothing.
    Valid range: rows of one length. ``ValueError`` for others.
    Example:
        >>> same_length(first_name="times_s", first=[0.0], second_name="volts", second=[1.0, 2.0])
        Traceback (most recent call last):
        ValueError: The arguments times_s and volts must be of one length, but they hold 1 and 2 readings.

    Source: the project's own rule.
    """
    if len(first) != len(second):
        raise ValueError(
            f"The arguments {first_name} and {second_name} must be of one length, "
            f"but they hold {len(first)} and {len(second)} readings."
        )


def carried(*, name: str, value: float) -> float:
    """Return a result if a float can carry it.

    Formula: none.

    Parameters:
        name [-], text: name of the result, for the sentence of the error.
        value [any unit], scalar: the result.
    Returns:
        [unit of the value] the same figure as ``float``.
    Valid range: finite results. ``ValueError`` where the inputs were so large or small that the result overflowed.
    Example:
        >>> carried(name="loss_w", value=1e308 * 10)
        Traceback (most recent call last):
        ValueError: The result loss_w is inf: the values given are beyond what can be calculated.

    Source: the project's own rule.
    """
    if not math.isfinite(value):
        raise ValueError(f"The result {name} is {value!r}: the values given are beyond what can be calculated.")
    return float(value)


def _element(name: str, position: int, value: object) -> float:
    """Check one reading of a row and name its position if it is refused."""
    try:
        return number(name=name, value=value)
    except ValueError:
        raise ValueError(
            f"The argument {name} must hold finite numbers only, but position {position} holds {value!r}."
        ) from None
