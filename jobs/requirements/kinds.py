"""What a requirement is: met by records, by a proof, by an entry that a person signs, or by the receipt of the part.

The lists of clearance, fitting and proving are all made of these. Some may be waived, with a reason and a name.
`ended_by` names the disturbances after which older evidence counts no more. How each is looked up is in
`jobs/standing.py`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from django.utils.functional import Promise

from jobs.models import Disturbance, StateChange

Touch, Change = Disturbance.What, StateChange.What
Words = str | Promise

# Whatever opens, feeds or wakes the high-voltage system ends the proof of being dead.
ENDS_DEAD = frozenset({Change.CONNECTOR, Change.REFITTED, Change.TWELVE_VOLT, Change.LIVE})
TOUCHED = frozenset({Touch.WIRING_TOUCHED})
OPENED = frozenset({Change.CONNECTOR, Touch.WIRING_TOUCHED})


@dataclass(frozen=True, kw_only=True)
class ByRecord:
    """Met by a standing record of one of these kinds that is within its limits; one for each machine or stage."""

    code: str
    title: Words
    kinds: tuple[str, ...]
    each: Literal["", "machine", "stage"] = ""
    waivable: bool = True
    ended_by: frozenset[str] = frozenset()

    @property
    def kind(self) -> str:
        """The kind that is offered first."""
        return self.kinds[0]


@dataclass(frozen=True, kw_only=True)
class ByProof:
    """Met while the proof of absence of voltage stands: of today, and nothing opened, fed or woken since."""

    code: str
    title: Words
    kind: str
    waivable: bool = False
    ended_by: frozenset[str] = ENDS_DEAD


@dataclass(frozen=True, kw_only=True)
class ByEntry:
    """Met by the newest signed entry of this step, if it says that all is good. `ask` is what the signer writes.

    `torque`: a torque in N·m and the tool are written down as well. `dead`: it is work on high-voltage parts, signed
    only while the proof of absence of voltage stands.
    """

    code: str
    title: Words
    ask: Words
    torque: bool = False
    dead: bool = False
    waivable: bool = True
    ended_by: frozenset[str] = frozenset()

    @property
    def step(self) -> str:
        return self.code


@dataclass(frozen=True, kw_only=True)
class ByReceipt:
    """Met when the part was received with its number and revision marks as ordered."""

    code: str
    title: Words
    waivable: bool = True
    ended_by: frozenset[str] = frozenset()


@dataclass(frozen=True, kw_only=True)
class ByCodes:
    """Met when the trouble codes were read after the repair and none was stored."""

    code: str
    title: Words
    waivable: bool = True
    ended_by: frozenset[str] = frozenset()


@dataclass(frozen=True, kw_only=True)
class ByOutlook:
    """Met when a capacity of the traction battery is known, so that its outlook can be told."""

    code: str
    title: Words
    waivable: bool = True
    ended_by: frozenset[str] = frozenset()


Requirement = ByRecord | ByProof | ByEntry | ByReceipt | ByCodes | ByOutlook
