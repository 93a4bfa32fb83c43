"""Winding insulation: one timed reading in megohm from the winding to the machine's body, referred to 40 °C."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.insulation import RANDOM_WOUND, assess_insulation
from diagnostics.calculations.verdicts import Assessment, Limit
from diagnostics.finding_chart import against_limit
from diagnostics.kind import Choice, Family, Figure, Kind, Reading, Tick


def assess(reading: Reading) -> Assessment:
    resistance = reading.figure("resistance_megohm")
    return assess_insulation(
        resistance_megohm=resistance,
        bound=reading.bound("resistance_megohm"),
        measured_c=reading.temperature_c,
        uncertainty_megohm=reading.accuracy.of(resistance) if reading.accuracy and resistance is not None else None,
        seconds=reading.figure("seconds") or 1.0,
        damp=bool(reading.values.get("damp")),
        limits=reading.limits_for("insulation_resistance"),
        concerns=reading.concerns,
    )


def chart(reading: Reading, assessment: Assessment) -> Any:
    return against_limit(
        key="winding_insulation",
        title=_("Insulation at 40 °C against its limit"),
        findings=assessment.findings,
        names={"insulation_resistance": _("Winding")},
        log=True,
    )


def general_limits(family: Family | None) -> Mapping[str, tuple[Limit, ...]]:
    """Traction machines are random-wound, or form-wound under 1 kV: one minimum for both (IEEE 43)."""
    return {"insulation_resistance": (RANDOM_WOUND,)}


KIND = Kind(
    code="winding_insulation",
    order=30,
    title=gettext_lazy("Winding insulation"),
    purpose=gettext_lazy("Test voltage for one minute, phases joined, against the machine’s body."),
    states=("dead", "bench"),
    unit="megohm",
    needs_temperature=True,
    per_subject=gettext_lazy("Machine"),
    fields=(
        Choice(
            name="test_v",
            setup=True,
            label=gettext_lazy("Test voltage"),
            choices=(("250", "250 V"), ("500", "500 V"), ("1000", "1000 V")),
        ),
        Figure(name="seconds", setup=True, label=gettext_lazy("Read after"), unit="s", low=1, high=3600),
        Figure(
            name="resistance_megohm",
            label=gettext_lazy("Reading"),
            unit="megohm",
            low=0,
            high=1e6,
            may_be_bound=True,
            reading=True,
            help=gettext_lazy("As displayed; also > 550 or OL."),
        ),
        Choice(
            name="filling",
            setup=True,
            label=gettext_lazy("The machine runs"),
            choices=(("dry", gettext_lazy("dry")), ("oil", gettext_lazy("in oil"))),
        ),
        Tick(name="damp", label=gettext_lazy("Damp: moisture seen, or the machine colder than the air")),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy("The tester itself makes high voltage, and the winding holds it: discharge it after the test."),
        gettext_lazy(
            "Never on a battery or on electronics without the maker’s consent: unplug the machine first. Only after "
            "absence of voltage is proved. Gloves on, never alone."
        ),
    ),
    quantities={"insulation_resistance": gettext_lazy("Insulation at 40 °C")},
    limitable={"insulation_resistance": ("minimum", "megohm")},
    general_limits=general_limits,
)
