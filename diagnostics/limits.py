"""Which limits bind a workshop's reading: general ones, confirmed ones, and its own where they are stricter.

A limit that a second workshop has confirmed binds everybody. One that is not yet confirmed binds only the workshop
that entered it, and only where it is stricter than what binds anyway, or where nothing else does.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping

from diagnostics.calculations.verdicts import Limit, choose_limit
from diagnostics.kind import Family, Kind
from diagnostics.models import FamilyLimit, SystemFamily
from network.access import acting_workshop_id


def limits_that_bind(kind: Kind, family: SystemFamily | None) -> Mapping[str, tuple[Limit, ...]]:
    """Every limit that counts for the acting workshop, by quantity: what the trade and standards say included."""
    facts = facts_of(family) if family else None
    binding = defaultdict(list, {quantity: list(found) for quantity, found in kind.general_limits(facts).items()})
    own: list[tuple[str, Limit]] = []
    for row in FamilyLimit.objects.standing().filter(family=family, kind=kind.code) if family else ():
        if kind.limitable.get(row.quantity) != (row.shape, row.unit):
            continue  # entered before the kind's quantities changed: it can't be compared with any reading
        if row.confirmed_by_id is not None:
            binding[row.quantity].append(as_limit(row))
        elif row.entered_by_id == acting_workshop_id():
            own.append((row.quantity, as_limit(row)))
    for quantity, limit in own:
        if choose_limit(limits=[*binding[quantity], limit], strictest=True) is limit:
            binding[quantity] = [limit]  # alone: what it is stricter than might go before it by authority
    return {quantity: tuple(limits) for quantity, limits in binding.items() if limits}


def facts_of(family: SystemFamily) -> Family:
    """The family as the kinds read it, without the database behind it."""
    return Family(**{name: getattr(family, name) for name in Family.__dataclass_fields__})


def as_limit(row: FamilyLimit) -> Limit:
    return Limit(
        kind=row.shape,
        value=row.value,
        upper=row.upper,
        unit=row.unit,
        source=row.source,
        authority=row.authority,
    )
