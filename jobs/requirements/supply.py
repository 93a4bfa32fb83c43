"""DC converter, cabin compressor and charger."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

from jobs.requirements.every_part import for_part
from jobs.requirements.kinds import ByEntry, ByRecord
from jobs.requirements.power import COOLING

DC_CONVERTER = for_part(
    live=(COOLING,),
    dead=(
        ByEntry(
            code="twelve_volt_loads",
            title=_("12 V battery and its loads"),
            ask=_("State of the 12 V battery, its current at rest, and the largest load found"),
        ),
        ByEntry(
            code="lead_drop",
            title=_("Drop along the 12 V leads"),
            ask=_("Drop in the positive lead and in the earth lead, at which current"),
        ),
        ByEntry(code="converter_fuse", title=_("Fuse"), ask=_("Which fuse was measured, its resistance and rating")),
    ),
    part=(
        ByEntry(
            code="input_not_shorted",
            title=_("Input of the new unit not shorted"),
            ask=_("What was measured at the high-voltage input of the new unit, both ways round"),
        ),
    ),
)

CABIN_COMPRESSOR = for_part(
    live=(
        ByRecord(code="condenser_fan", title=_("Condenser fan"), kinds=("fan_sweep",)),
    ),
    dead=(
        ByEntry(
            code="refrigerant_certificate",
            title=_("Refrigerant certificate"),
            ask=_("Who opens the refrigerant circuit, and the number of their certificate"),
        ),
        ByEntry(
            code="oil_and_flush",
            title=_("Insulating oil, system flushed"),
            ask=_("The oil by its number, how much, and how the circuit was flushed of the old one"),
        ),
    ),
    part=(
        ByEntry(
            code="compressor_insulation",
            title=_("Insulation of the compressor"),
            ask=_("Insulation of the new compressor to its housing: test voltage, time, reading and the maker's limit"),
        ),
        ByEntry(code="leak_test", title=_("Leak test"), ask=_("How long vacuum or test gas was held, and the change")),
        ByEntry(
            code="pressures",
            title=_("Pressures"),
            ask=_("Static pressure, and the pressures that the maker expects once it runs"),
        ),
    ),
)  # fmt: skip

CHARGER = for_part(
    live=(COOLING,),
    dead=(
        ByEntry(
            code="supply_and_lead",
            title=_("Supply and lead"),
            ask=_("The supply that it failed on, the lead that was used, and what was measured on both"),
        ),
        ByRecord(code="inlet", title=_("Inlet, earth and pilot"), kinds=("charge_inlet",)),
        ByEntry(
            code="residual_current",
            title=_("Residual-current protection"),
            ask=_("Type of the protection at the supply, and how its trip was tested"),
        ),
        ByRecord(code="charge_contactors", title=_("Contactors"), kinds=("contactors",)),
    ),
    part=(
        ByEntry(
            code="charger_insulation",
            title=_("Insulation, mains side and high-voltage side"),
            ask=_("Insulation of both sides to the housing as far as the maker allows it: voltage, reading, limit"),
        ),
    ),
)
