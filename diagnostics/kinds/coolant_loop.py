"""Coolant loop: filled and bled, flow proved and not only heard, warmed as it should, and clean."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.cooling import STEP_FOR_REASON, assess_coolant_loop
from diagnostics.calculations.observations import assess_with_steps, observe
from diagnostics.calculations.verdicts import Assessment, Finding, choose_limit, judge
from diagnostics.finding_chart import against_limit
from diagnostics.kind import Choice, Figure, Kind, Meter, Reading, Tick


def assess(reading: Reading) -> Assessment:
    inlet, outlet = reading.figure("inlet_c"), reading.figure("outlet_c")
    warmest = max((abs(one) for one in (inlet, outlet) if one is not None), default=0.0)
    thermometer = reading.accuracy_of("thermometer")
    concerns = reading.concerns_with("thermometer")
    found = assess_coolant_loop(
        flow_l_per_min=reading.figure("flow_l_per_min"),
        inlet_c=inlet,
        outlet_c=outlet,
        signs=_signs(str(reading.values.get("look") or "not_looked")),
        uncertainty_l_per_min=reading.spread("flow_l_per_min"),
        uncertainty_k=thermometer.of(warmest) if thermometer else None,
        flow_limits=reading.limits_for("coolant_flow"),
        rise_limits=reading.limits_for("coolant_rise"),
        concerns=concerns,
    )
    level = _signs(str(reading.values.get("level") or "not_looked"))
    air = ["air_in_loop"] if reading.values.get("air") else []
    filling = observe(
        quantity="coolant_filling",
        signs=None if level is None else [*level, *air],
        concerns=("missing_look", *concerns) if level is None else concerns,
    )
    return assess_with_steps(
        findings=[filling, *found.findings, *_conductivity(reading)],
        step_for_reason=STEP_FOR_REASON | {"level_low": "find_leak_and_fill", "air_in_loop": "bleed_the_loop"},
    )


def _conductivity(reading: Reading) -> list[Finding]:
    """Where it was read: coolants of batteries and inverters may have to insulate, and only the maker says how well."""
    conductivity = reading.figure("conductivity")
    if conductivity is None:
        return []
    finding = judge(
        quantity="coolant_conductivity",
        value=conductivity,
        unit="µS/cm",
        uncertainty=reading.spread("conductivity", "conductivity_meter"),
        limit=choose_limit(limits=reading.limits_for("coolant_conductivity")),
        concerns=reading.concerns_with("conductivity_meter"),
    )
    return [finding]


def _signs(look: str) -> list[str] | None:
    return {"not_looked": None, "good": []}.get(look, [look])


def chart(reading: Reading, assessment: Assessment) -> Any:
    return against_limit(
        key="coolant_loop",
        title=_("Flow against its limit"),
        findings=[finding for finding in assessment.findings if finding.quantity == "coolant_flow"],
        names={"coolant_flow": _("Flow")},
    )


KIND = Kind(
    code="coolant_loop",
    order=52,
    title=gettext_lazy("Coolant loop"),
    purpose=gettext_lazy("Level, air, flow, warming and the look of the coolant, the pump commanded."),
    states=("twelve_volt",),
    unit="l/min",
    fields=(
        Choice(
            name="level",
            label=gettext_lazy("Level"),
            choices=(
                ("not_looked", gettext_lazy("not looked at yet")),
                ("good", gettext_lazy("between the marks")),
                ("level_low", gettext_lazy("too low")),
            ),
        ),
        Tick(name="air", label=gettext_lazy("Air seen or heard in the loop")),
        Figure(name="pump_percent", label=gettext_lazy("Pump commanded"), unit="%", low=0, high=100),
        Meter(name="thermometer", label=gettext_lazy("Thermometer"), unit="°C"),
        Figure(
            name="inlet_c",
            label=gettext_lazy("In"),
            unit="°C",
            required=False,
            low=-50,
            high=200,
            reading=True,
            meter="thermometer",
        ),
        Figure(
            name="outlet_c",
            label=gettext_lazy("Out"),
            unit="°C",
            required=False,
            low=-50,
            high=200,
            reading=True,
            meter="thermometer",
        ),
        Figure(
            name="flow_l_per_min",
            label=gettext_lazy("Flow"),
            unit="l/min",
            required=False,
            low=0,
            high=500,
            reading=True,
            help=gettext_lazy("Left out where the pump is only heard: then no flow is proved."),
        ),
        Choice(
            name="look",
            label=gettext_lazy("The coolant"),
            choices=(
                ("not_looked", gettext_lazy("not looked at yet")),
                ("good", gettext_lazy("clean")),
                ("water", gettext_lazy("water or oil in it")),
                ("metal", gettext_lazy("metal in it")),
                ("colour", gettext_lazy("wrong or changed colour")),
            ),
        ),
        Meter(
            name="conductivity_meter",
            label=gettext_lazy("Conductivity meter"),
            unit="µS/cm",
            help=gettext_lazy("Only where the maker states how little the coolant may conduct."),
        ),
        Figure(
            name="conductivity",
            label=gettext_lazy("Conductivity"),
            unit="µS/cm",
            required=False,
            low=0,
            high=1e5,
            meter="conductivity_meter",
        ),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy("Hot coolant scalds: the cap stays on while the loop is hot."),
        gettext_lazy(
            "12 V is on, so the proof of absence of voltage ends: prove it again before anything orange is touched. "
            "Coolant in a connector or in the battery makes anything live. Never alone, the maker’s procedure first."
        ),
    ),
    quantities={
        "coolant_filling": gettext_lazy("Level and air"),
        "coolant_flow": gettext_lazy("Flow"),
        "coolant_rise": gettext_lazy("Warming from in to out"),
        "coolant_contamination": gettext_lazy("Contamination"),
        "coolant_conductivity": gettext_lazy("Conductivity of the coolant"),
    },
    limitable={
        "coolant_flow": ("minimum", "l/min"),
        "coolant_rise": ("range", "K"),
        "coolant_conductivity": ("maximum", "µS/cm"),
    },
)
