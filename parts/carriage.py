"""What carriage asks of a part that holds charge or a pyrotechnic charge: the UN number that is likely to apply.

A first word only, for whoever packs: the maker's transport document and a trained shipper decide. Each line names where
it is from; what nobody looked up is "from memory".
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.db import models
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from diagnostics.models import SystemFamily
from diagnostics.part_kinds import PartKind

Chemistry = SystemFamily.Chemistry
FROM_MEMORY = _("from memory")
BATTERY_GUIDE = _("batteriestransport.org")
TABLE_A = _("UN Model Regulations, dangerous goods list; from memory")


@dataclass(frozen=True, kw_only=True)
class Entry:
    """A UN number, what it is called, when it applies, and the source of that."""

    number: str
    name: Any
    applies: Any
    source: Any


class CarriedAs(models.TextChoices):
    """What a sender writes down where no number of the list is it."""

    OTHER = "other", _("another number, see its papers")
    NONE = "none", _("not dangerous goods, the trained shipper says")


@dataclass(frozen=True, kw_only=True)
class Carriage:
    """What a page says of carrying a part. `chemistry_open`: the battery's chemistry is to be read off its plate."""

    entries: tuple[Entry, ...]
    lithium: bool = False
    chemistry_open: bool = False
    waste_battery: bool = False
    note: Any = ""

    @property
    def choices(self) -> list[tuple[str, str]]:
        """What the trained shipper may have decided; empty where carriage asks for no number."""
        named = [(entry.number, f"{entry.number}: {entry.name}") for entry in self.entries]
        return [*named, *((one.value, str(one.label)) for one in CarriedAs)] if named else []

    @property
    def take_back(self) -> str:
        """What the law asks of a waste battery, in the operator's own words where there are some."""
        return settings.BATTERY_TAKE_BACK or gettext(
            "A battery at the end of its life is waste, with a duty to take it back: ask which law holds where you are "
            "(in the European Union Regulation (EU) 2023/1542, from memory)."
        )


LITHIUM_ALONE = Entry(
    number="UN 3480", name=_("lithium ion batteries"), applies=_("by itself; class 9, label 9A"), source=BATTERY_GUIDE
)
LITHIUM_WITH = Entry(
    number="UN 3481", name=_("lithium ion batteries with or in equipment"),
    applies=_("packed with a unit, or built into one; class 9, label 9A"), source=BATTERY_GUIDE,
)  # fmt: skip
NICKEL = Entry(
    number="UN 3496", name=_("nickel-metal hydride batteries"),
    applies=_(
        "by sea only. By air not restricted where protected from short circuit (A199); by road not regulated where "
        "protected from short circuit (from memory)"
    ),
    source=_("batteriestransport.org; IATA special provision A199"),
)  # fmt: skip
LEAD_WET = Entry(
    number="UN 2794", name=_("batteries, wet, filled with acid"), applies=_("lead, with caps"), source=TABLE_A
)
LEAD_SEALED = Entry(
    number="UN 2800", name=_("batteries, wet, non-spillable"), applies=_("lead, sealed (fleece or gel)"), source=TABLE_A
)
DOUBLE_LAYER = Entry(
    number="UN 3499", name=_("capacitor, electric double layer"), applies=_("above 0.3 Wh"), source=TABLE_A
)
ASYMMETRIC = Entry(number="UN 3508", name=_("capacitor, asymmetric"), applies=_("above 0.3 Wh"), source=TABLE_A)
SAFETY_DEVICE = Entry(
    number="UN 3268", name=_("safety devices, electrically initiated"),
    applies=_("where its type is approved for class 9; otherwise it travels as an explosive, UN 0503"), source=TABLE_A,
)  # fmt: skip

LITHIUM = (LITHIUM_ALONE, LITHIUM_WITH)
LITHIUM_CHEMISTRIES = {Chemistry.LITHIUM, Chemistry.IRON_PHOSPHATE}
HOLDS_CHARGE = {PartKind.INVERTER, PartKind.DC_CONVERTER, PartKind.CHARGER}


def carriage(*, kind: str, chemistries: Collection[str] = ()) -> Carriage | None:
    """What carriage asks of a part of this kind, for cars whose batteries are of these chemistries; None where nothing.

    A battery of unknown chemistry, or of families that differ, gets the numbers of both: the plate decides.
    """
    if kind in (PartKind.TRACTION_BATTERY, PartKind.BATTERY_MODULE):
        lithium = not chemistries or any(one in LITHIUM_CHEMISTRIES for one in chemistries)
        nickel = not chemistries or Chemistry.NICKEL in chemistries
        entries = (*(LITHIUM if lithium else ()), *((NICKEL,) if nickel else ()))
        return Carriage(entries=entries, lithium=lithium, chemistry_open=lithium and nickel, waste_battery=True)
    if kind == PartKind.BATTERY_12V:
        return Carriage(
            entries=(LEAD_SEALED, LEAD_WET, *LITHIUM), lithium=True, chemistry_open=True, waste_battery=True
        )
    if kind == PartKind.CAPACITOR:
        return Carriage(
            entries=(DOUBLE_LAYER, ASYMMETRIC),
            note=_("Discharged, with a shorting strap across the terminals (from memory)."),
        )
    if kind in (PartKind.PYRO_SWITCH, PartKind.AIRBAG):
        return Carriage(
            entries=(SAFETY_DEVICE,), note=_("It can fire: never bridge or measure its igniter; keep its own packing.")
        )
    if kind in HOLDS_CHARGE:
        return Carriage(
            entries=(),
            note=_(
                "Its link capacitor holds charge: discharge it by the maker’s procedure and prove it before packing. "
                "No UN number is likely for it alone; a battery, double-layer capacitor or pyrotechnic fuse inside "
                "would bring one (from memory)."
            ),
        )
    return None
