"""Pulse resistance: voltage and current right before a step of the current and at the end of the pulse."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.battery import assess_pulse_resistance
from diagnostics.calculations.verdicts import Assessment
from diagnostics.finding_chart import against_limit
from diagnostics.kind import Choice, Figure, Kind, Meter, Reading
from diagnostics.unjudged import unjudged

READ = ("before_v", "before_a", "after_v", "after_a")


def assess(reading: Reading) -> Assessment:
    figures = [reading.figure(name) for name in READ]
    read = [one for one in figures if one is not None]
    if problem := _problem(read):
        return unjudged(reading, quantity="pulse_resistance", unit="ohm", problem=problem)
    before_v, before_a, after_v, after_a = read
    median = reading.figure("median_milliohm")
    part = str(reading.values.get("part") or "block")
    spreads = [reading.spread(name) for name in ("before_v", "after_v")]
    currents = [reading.spread(name, "ammeter") for name in ("before_a", "after_a")]
    return assess_pulse_resistance(
        before_v=before_v,
        after_v=after_v,
        before_a=before_a,
        after_a=after_a,
        uncertainty_v=_larger(spreads),
        uncertainty_a=_larger(currents),
        limits=reading.limits_for(f"{part}_pulse_resistance"),
        median_block_ohm=median / 1000 if median and part == "block" else None,
        ratio_limits=reading.limits_for("ratio_to_median_block"),
        concerns=reading.concerns_with("ammeter"),
    )


def _problem(read: list[float]) -> str:
    """Why these four figures are no pulse, as a reason code; empty when they are one."""
    if len(read) < len(READ):
        return "missing"
    before_v, before_a, after_v, after_a = read
    if before_a == after_a:
        return "missing_step_of_current"
    return "missing_fall_with_discharge" if (before_v - after_v) / (after_a - before_a) < 0 else ""


def _larger(spreads: list[float | None]) -> float | None:
    known = [one for one in spreads if one is not None]
    return max(known) if len(known) == len(spreads) else None


def chart(reading: Reading, assessment: Assessment) -> Any:
    return against_limit(
        key="pulse_resistance",
        title=_("Pulse resistance against its limit"),
        findings=assessment.findings[:1],
        names={"pulse_resistance": _("Pulse")},
    )


KIND = Kind(
    code="pulse_resistance",
    order=44,
    title=gettext_lazy("Pulse resistance"),
    purpose=gettext_lazy("Voltage and current right before a step of the load, and again at the end of the pulse."),
    states=("live", "bench"),
    unit="V",
    needs_temperature=True,
    second_person=True,
    fields=(
        Choice(
            name="part",
            setup=True,
            label=gettext_lazy("Measured on"),
            choices=(("block", gettext_lazy("one block or cell")), ("pack", gettext_lazy("the whole battery"))),
        ),
        Meter(name="ammeter", label=gettext_lazy("Ammeter or clamp"), unit="A"),
        Figure(name="before_v", label=gettext_lazy("Before"), unit="V", low=0, high=1500, reading=True),
        Figure(
            name="before_a",
            label=gettext_lazy("Before"),
            unit="A",
            low=-2000,
            high=2000,
            reading=True,
            meter="ammeter",
            help=gettext_lazy("Discharge positive."),
        ),
        Figure(name="after_v", label=gettext_lazy("At the end"), unit="V", low=0, high=1500, reading=True),
        Figure(
            name="after_a",
            label=gettext_lazy("At the end"),
            unit="A",
            low=-2000,
            high=2000,
            reading=True,
            meter="ammeter",
        ),
        Figure(name="seconds", setup=True, label=gettext_lazy("Length of the pulse"), unit="s", low=0.01, high=600),
        Figure(name="charge_percent", label=gettext_lazy("State of charge"), unit="%", required=False, low=0, high=100),
        Figure(
            name="median_milliohm",
            label=gettext_lazy("Median of all blocks"),
            unit="milliohm",
            required=False,
            low=0.001,
            high=1e5,
            help=gettext_lazy("For a block: it is then compared with its neighbours."),
        ),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy("The battery stays live whatever is disconnected; a pulse heats it and its connections."),
        gettext_lazy(
            "Authorised people only, with a second person, gloves, and leads made for the current. A damaged cell can "
            "burn and reignite: no pulse through it. The maker’s procedure first."
        ),
    ),
    quantities={
        "pulse_resistance": gettext_lazy("Pulse resistance"),
        "ratio_to_median_block": gettext_lazy("Against the median block"),
        "block_pulse_resistance": gettext_lazy("Pulse resistance of a block"),
        "pack_pulse_resistance": gettext_lazy("Pulse resistance of the battery"),
    },
    limitable={
        "block_pulse_resistance": ("maximum", "ohm"),
        "pack_pulse_resistance": ("maximum", "ohm"),
        "ratio_to_median_block": ("maximum", "ratio"),
    },
    bear_in_mind=(
        gettext_lazy("A limit holds for one length of pulse, charge and temperature: a longer pulse reads higher."),
    ),
)
