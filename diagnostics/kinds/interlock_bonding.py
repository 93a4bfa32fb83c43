"""Interlock and bonding: every housing against the body with a current of 0.2 A or more, and the interlock loop."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.bonding import assess_bonding
from diagnostics.calculations.verdicts import Assessment
from diagnostics.finding_chart import against_limit
from diagnostics.kind import Figure, Kind, Reading, stated

BONDS = {
    "battery": gettext_lazy("Battery housing"),
    "inverter": gettext_lazy("Inverter housing"),
    "machine": gettext_lazy("Machine housing"),
    "dc_converter": gettext_lazy("DC-DC converter"),
    "compressor": gettext_lazy("Cabin compressor"),
    "heater": gettext_lazy("Heater"),
    "charger": gettext_lazy("Charger"),
}


def assess(reading: Reading) -> Assessment:
    percent, counts, resolution = stated(reading.accuracy)
    typed = [bond for bond in BONDS if reading.figure(f"{bond}_ohm") is not None]
    found = assess_bonding(
        bonds_ohm=[reading.figure(f"{bond}_ohm") for bond in typed] or [None],
        null_ohm=reading.figure("null_ohm"),
        test_current_a=reading.figure("test_current_a"),
        percent_of_reading=percent,
        counts=counts,
        resolution_ohm=resolution,
        bounds=[reading.bound(f"{bond}_ohm") for bond in typed] or [None],
        limits=reading.limits_for("bonding_resistance"),
        loop_ohm=reading.figure("loop_ohm"),
        loop_bound=reading.bound("loop_ohm"),
        loop_limits=reading.limits_for("interlock_loop_resistance"),
        concerns=reading.concerns,
    )
    named = [replace(finding, quantity=f"bond_{bond}") for bond, finding in zip(typed, found.findings, strict=False)]
    return replace(found, findings=(*named, *found.findings[len(named) :]))


def chart(reading: Reading, assessment: Assessment) -> Any:
    return against_limit(
        key="interlock_bonding",
        title=_("Bonds to the body against their limit"),
        findings=[finding for finding in assessment.findings if finding.quantity.startswith("bond_")],
        names={f"bond_{bond}": str(name) for bond, name in BONDS.items()},
    )


KIND = Kind(
    code="interlock_bonding",
    order=38,
    title=gettext_lazy("Interlock and bonding"),
    purpose=gettext_lazy("Each housing against the body with 0.2 A or more, then the interlock loop."),
    states=("dead",),
    unit="ohm",
    fields=(
        Figure(
            name="null_ohm",
            label=gettext_lazy("Leads, short"),
            unit="ohm",
            low=0,
            high=10,
            help=gettext_lazy("0 where the instrument takes its leads away itself."),
        ),
        Figure(
            name="test_current_a",
            setup=True,
            label=gettext_lazy("Test current"),
            unit="A",
            low=0,
            high=100,
            help=gettext_lazy("Less than 0.2 A doesn’t find a bad bond."),
        ),
        *(
            Figure(
                name=f"{bond}_ohm",
                label=name,
                unit="ohm",
                required=False,
                low=0,
                high=1e7,
                may_be_bound=True,
                reading=True,
            )
            for bond, name in BONDS.items()
        ),
        Figure(
            name="loop_ohm",
            label=gettext_lazy("Interlock loop"),
            unit="ohm",
            required=False,
            low=0,
            high=1e7,
            may_be_bound=True,
            reading=True,
            help=gettext_lazy("All connectors plugged in; OL is an open loop."),
        ),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy("Only after absence of voltage is proved, and while it stays proved."),
        gettext_lazy(
            "A bond is what protects people when insulation fails: one that is bad is repaired before the car goes "
            "live again. An interlock is never bridged. Gloves on, never alone, the maker’s procedure first."
        ),
    ),
    quantities={
        **{f"bond_{bond}": name for bond, name in BONDS.items()},
        "bonding_resistance": gettext_lazy("Each bond to the body"),
        "interlock_loop_resistance": gettext_lazy("Interlock loop"),
    },
    limitable={"bonding_resistance": ("maximum", "ohm"), "interlock_loop_resistance": ("maximum", "ohm")},
)
