"""12 V supply from the DC-DC converter: the battery at rest first, then the converter idle and under load."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.dc_supply import QUANTITIES, assess_dc_supply
from diagnostics.calculations.verdicts import Assessment
from diagnostics.finding_chart import against_limit
from diagnostics.kind import Figure, Kind, Reading, Tick

LOADED = "supply_loaded"


def assess(reading: Reading) -> Assessment:
    return assess_dc_supply(
        rest_v=reading.figure("rest_v"),
        idle_v=reading.figure("idle_v"),
        loaded_v=reading.figure("loaded_v"),
        load_a=reading.figure("load_a"),
        lead_drop_v=reading.figure("lead_drop_v"),
        ripple_v=reading.figure("ripple_v"),
        smart_control=bool(reading.values.get("smart_control")),
        uncertainties_v={name: reading.spread(f"{name}_v") for name in QUANTITIES},
        limits={name: reading.limits_for(f"supply_{name}") for name in QUANTITIES},
        concerns=reading.concerns,
    )


def chart(reading: Reading, assessment: Assessment) -> Any:
    return against_limit(
        key="dc_supply",
        title=_("12 V supply under load against its limit"),
        findings=[finding for finding in assessment.findings if finding.quantity == LOADED],
        names={LOADED: _("Loaded")},
    )


KIND = Kind(
    code="dc_supply",
    order=60,
    title=gettext_lazy("12 V supply"),
    purpose=gettext_lazy("The 12 V battery at rest, then what the DC-DC converter holds, idle and under load."),
    states=("live",),
    unit="V",
    second_person=True,
    fields=(
        Figure(
            name="rest_v",
            label=gettext_lazy("Battery at rest"),
            unit="V",
            low=0,
            high=60,
            reading=True,
            help=gettext_lazy("Converter off for a while. The 12 V battery comes first."),
        ),
        Figure(name="idle_v", label=gettext_lazy("Idle"), unit="V", low=0, high=60, reading=True),
        Figure(
            name="load_a",
            label=gettext_lazy("Load switched on"),
            unit="A",
            required=False,
            low=0,
            high=500,
            help=gettext_lazy("Without it the loaded voltage proves nothing."),
        ),
        Figure(name="loaded_v", label=gettext_lazy("Loaded"), unit="V", low=0, high=60, reading=True),
        Figure(
            name="lead_drop_v",
            label=gettext_lazy("Drop along the leads"),
            unit="V",
            required=False,
            low=-5,
            high=20,
            help=gettext_lazy("Plus and minus lead together, under load."),
        ),
        Figure(
            name="ripple_v",
            label=gettext_lazy("Ripple, peak to peak"),
            unit="V",
            required=False,
            low=0,
            high=20,
        ),
        Tick(
            name="smart_control",
            label=gettext_lazy("The car varies this voltage (smart control)"),
            help=gettext_lazy("A low voltage without load may then be meant."),
        ),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy("The car is live: orange leads, converter and everything beside them carry high voltage."),
        gettext_lazy(
            "Measure on the 12 V side only, covers on. Authorised people only, with a second person. A 12 V battery "
            "gives off gas: no sparks. The maker’s procedure first."
        ),
    ),
    quantities={
        "supply_rest": gettext_lazy("12 V battery at rest"),
        "supply_idle": gettext_lazy("Idle"),
        "supply_loaded": gettext_lazy("Under load"),
        "supply_lead_drop": gettext_lazy("Drop along the leads"),
        "supply_ripple": gettext_lazy("Ripple"),
    },
    limitable={
        "supply_rest": ("minimum", "V"),
        "supply_idle": ("range", "V"),
        "supply_loaded": ("range", "V"),
        "supply_lead_drop": ("maximum", "V"),
        "supply_ripple": ("maximum", "V"),
    },
)
