"""Limits, each with the place that it comes from, and which of several counts."""

from collections.abc import Sequence
from dataclasses import dataclass

from diagnostics.calculations import checks

KINDS = ("minimum", "maximum", "range")
AUTHORITIES = ("maker", "standard", "common practice")  # in this order they go before each other
COMMON_PRACTICE = "common practice, no source"  # the trade's own habit; it counts as a source


@dataclass(frozen=True, kw_only=True)
class Limit:
    """A limit with the place that it comes from.

    Fields:
        kind [-], text: minimum, maximum or range.
        value [unit], scalar: the limit; of a range the lower end.
        unit [-], text: unit of value and upper.
        source [-], text: standard with clause, maker's document, or "common practice, no source"; may be empty, and
            then no reading is ever within it.
        authority [-], text: maker, standard or common practice.
        upper [unit], scalar or None: the upper end of a range, above value; None for the other kinds.
    Valid range: ``ValueError`` for an unknown kind or authority, a value or upper that is not a finite number, a range
        without an upper end above its value, and an upper end on a minimum or maximum.
    Example:
        >>> Limit(kind="minimum", value=5, unit="megohm", source="IEEE 43-2013 Table 3, as quoted",
        ...       authority="standard").value
        5.0

    Source: the project's own rule.
    """

    kind: str
    value: float
    unit: str
    source: str
    authority: str
    upper: float | None = None

    def __post_init__(self) -> None:
        """Refuse what is no limit, and keep the figures as plain floats."""
        checks.choice(name="kind", value=self.kind, allowed=KINDS)
        checks.choice(name="authority", value=self.authority, allowed=AUTHORITIES)
        checks.text(name="unit", value=self.unit)
        checks.text(name="source", value=self.source)
        object.__setattr__(self, "value", checks.number(name="value", value=self.value))
        if self.kind == "range":
            object.__setattr__(self, "upper", checks.number(name="upper", value=self.upper))
            if self.upper is None or self.upper <= self.value:
                raise ValueError(
                    f"The argument upper must be above the value {self.value!r} of a range, but it is {self.upper!r}."
                )
        elif self.upper is not None:
            raise ValueError(f"The argument upper belongs to a range only, but the {self.kind} has {self.upper!r}.")


def choose_limit(*, limits: Sequence[Limit], strictest: bool = False) -> Limit | None:
    """Return the limit that counts among several.

    Formula: the maker's limit goes before a standard's, a standard's before common practice; among limits of one
    authority the strictest counts: the highest minimum, the lowest maximum, the narrowest range. With
    ``strictest=True`` (isolation, bonding, discharge: where a maker can't loosen law) the strictest of all counts.
    Of two equally strict limits the one that names its source counts, then the one of the higher authority.

    Parameters:
        limits [one unit], row of Limit: may be empty.
        strictest [-], truth value: compare all of them whatever their authority.
    Returns:
        [-] the limit, or None where there is none.
    Valid range: ``ValueError`` where limits that have to be compared differ in kind or in unit.
    Example:
        >>> law = Limit(kind="minimum", value=100, unit="ohm/V", source="UN R100 5.1.3.1", authority="standard")
        >>> maker = Limit(kind="minimum", value=50, unit="ohm/V", source="maker's sheet", authority="maker")
        >>> choose_limit(limits=[law, maker]).value, choose_limit(limits=[law, maker], strictest=True).value
        (50.0, 100.0)

    Source: the project's own rule.
    """
    compared = list(limits)
    if not strictest:
        highest = min((AUTHORITIES.index(limit.authority) for limit in compared), default=0)
        compared = [limit for limit in compared if limit.authority == AUTHORITIES[highest]]
    for what, found in (("kind", {limit.kind for limit in compared}), ("unit", {limit.unit for limit in compared})):
        if len(found) > 1:
            raise ValueError(
                f"The argument limits must hold limits of one {what} to be compared, "
                f"but it holds {', '.join(sorted(found))}."
            )
    return min(compared, key=_looseness, default=None)


def _looseness(limit: Limit) -> tuple[float, bool, int]:
    """Order limits of one kind from the strictest to the loosest."""
    loose = {"minimum": -limit.value, "maximum": limit.value, "range": (limit.upper or 0.0) - limit.value}[limit.kind]
    return loose, not limit.source.strip(), AUTHORITIES.index(limit.authority)
