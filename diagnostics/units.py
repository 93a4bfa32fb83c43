"""Units in which a display may show what the form asks in another: the figure is typed as displayed, with its unit."""

from __future__ import annotations

from decimal import Decimal

# One of the second unit is worth so many of the first, which is the one that the form asks for.
OTHER_UNITS: dict[str, dict[str, Decimal]] = {
    "milliohm": {"ohm": Decimal(1000)},
    "ohm": {"milliohm": Decimal("0.001"), "kilohm": Decimal(1000), "megohm": Decimal(1000000)},
    "kilohm": {"ohm": Decimal("0.001"), "megohm": Decimal(1000)},
    "megohm": {"kilohm": Decimal("0.001"), "gigohm": Decimal(1000)},
    "V": {"mV": Decimal("0.001")},
    "A": {"mA": Decimal("0.001")},
    "s": {"ms": Decimal("0.001"), "min": Decimal(60)},
    "microhenry": {"millihenry": Decimal(1000)},
}


def parted(text: str, unit: str) -> tuple[str, Decimal]:
    """The figure without the unit typed after it, and what one of that unit is worth in `unit`; an unknown one stays.

    >>> parted("212 kilohm", "megohm")
    ('212', Decimal('0.001'))
    """
    plain = text.strip()
    # The longest first: "kilohm" ends in "ohm".
    known = {unit: Decimal(1)} | OTHER_UNITS.get(unit, {}) if unit else {}
    for name, worth in sorted(known.items(), key=lambda one: -len(one[0])):
        if plain.casefold().endswith(name.casefold()):
            return plain[: -len(name)].strip(), worth
    return plain, Decimal(1)
