"""Block voltages: all blocks of the battery at one instant and current, against each other."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.battery import assess_blocks, weak_blocks
from diagnostics.calculations.verdicts import Assessment
from diagnostics.kind import Figure, Figures, Kind, Reading

CHEMISTRIES = {
    "nickel_metal_hydride": "nickel",
    "lithium_ion": "lithium",
    "lithium_iron_phosphate": "iron_phosphate",
}
SMALL_CELL_V = 6.0  # below it a block is a single cell, and its voltage is shown to the millivolt


def assess(reading: Reading) -> Assessment:
    volts = reading.values.get("volts") or ()
    family, accuracy = reading.family, reading.accuracy
    not_all = family is not None and len(volts) != family.blocks
    return assess_blocks(
        volts=list(volts),
        charge_percent=reading.figure("charge_percent"),
        chemistry=CHEMISTRIES[family.chemistry] if family else "nickel",
        percent_of_reading=accuracy.percent_of_reading if accuracy else None,
        counts=accuracy.counts if accuracy else 0.0,
        resolution_v=accuracy.resolution if accuracy else 0.0,
        limits=reading.limits_for("block_spread"),
        concerns=(*reading.concerns, *(("missing_blocks",) if not_all else ())),
    )


def chart(reading: Reading, assessment: Assessment) -> Any:
    """Every block's distance from the median; weak ones are told only where the reading can tell them."""
    from diagnostics.charts import blocks  # loaded where one is drawn

    volts = list(reading.values.get("volts") or ())
    if not volts:
        return None
    telling = reading.accuracy and len(volts) > 1 and "flat_curve" not in assessment.findings[0].concerns
    weak = weak_blocks(volts=volts, resolution_v=reading.accuracy.resolution) if telling and reading.accuracy else ()
    return blocks.build(
        key="block_voltages",
        title=_("Blocks, from their median"),
        values=volts,
        unit="V",
        weak=[position + 1 for position in weak],
        decimals=3 if max(volts) < SMALL_CELL_V else 2,
    )


KIND = Kind(
    code="block_voltages",
    order=42,
    title=gettext_lazy("Block voltages"),
    purpose=gettext_lazy("All blocks at one instant and one current, by the same instrument or the car’s own module."),
    states=("live", "bench"),
    unit="V",
    second_person=True,
    fields=(
        Figure(name="rest_min", label=gettext_lazy("At rest since"), unit="min", required=False, low=0, high=1e5),
        Figure(
            name="charge_percent",
            label=gettext_lazy("State of charge"),
            unit="%",
            required=False,
            low=0,
            high=100,
            help=gettext_lazy("Iron phosphate tells nothing on the flat part of its curve."),
        ),
        Figure(
            name="current_a",
            label=gettext_lazy("Current"),
            unit="A",
            low=-2000,
            high=2000,
            help=gettext_lazy("Discharge positive; 0 at rest."),
        ),
        Figures(
            name="volts",
            label=gettext_lazy("Blocks, in their order"),
            unit="V",
            low=-20,
            high=100,
            help=gettext_lazy("Typed or pasted, all of them."),
        ),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy(
            "The battery stays live whatever is disconnected, and blocks in a row add up to a deadly voltage."
        ),
        gettext_lazy(
            "Tools and leads insulated, no rings, gloves on, a second person stands by. A damaged cell can burn and "
            "reignite: smoke, smell or heat: stop, leave, call the fire service. The maker’s procedure first."
        ),
    ),
    quantities={"block_spread": gettext_lazy("Highest less lowest block")},
    limitable={"block_spread": ("maximum", "V")},
)
