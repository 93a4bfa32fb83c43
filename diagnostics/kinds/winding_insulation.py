"""Winding insulation: one timed reading in megohm from the winding to the machine's body, referred to 40 °C."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.insulation import (
    INDEX_MINIMUM,
    RANDOM_WOUND,
    assess_insulation,
    dew_point_c,
    judge_polarization,
)
from diagnostics.calculations.verdicts import Assessment, Finding, Limit
from diagnostics.calculations.verdicts import assess as assessed
from diagnostics.finding_chart import against_limit
from diagnostics.kind import Choice, Family, Figure, Kind, Reading, Tick, stated


def assess(reading: Reading) -> Assessment:
    resistance = reading.figure("resistance_megohm")
    found = assess_insulation(
        resistance_megohm=resistance,
        bound=reading.bound("resistance_megohm"),
        measured_c=reading.temperature_c,
        uncertainty_megohm=reading.accuracy.of(resistance) if reading.accuracy and resistance is not None else None,
        seconds=reading.figure("seconds") or 1.0,
        damp=bool(reading.values.get("damp")) or _below_dew_point(reading),
        limits=reading.limits_for("insulation_resistance"),
        concerns=reading.concerns,
    )
    index = _index(reading, found.findings[0])
    return found if index is None else assessed(findings=[*found.findings, index], next_steps=found.next_steps)


def _below_dew_point(reading: Reading) -> bool:
    """The winding is no warmer than the dew point of the air: there is moisture on it, seen or not."""
    air, humidity = reading.figure("air_c"), reading.figure("humidity_percent")
    if air is None or not humidity or reading.temperature_c is None:
        return False
    return reading.temperature_c <= dew_point_c(air_c=air, humidity_percent=humidity)


def _index(reading: Reading, at_40: Finding) -> Finding | None:
    """The index of a ten-minute test; None for the short one, and where one minute reads no figure of its own."""
    minute_1, minute_10 = reading.figure("resistance_megohm"), reading.figure("minute_10_megohm")
    if not minute_1 or not minute_10 or reading.bound("resistance_megohm"):
        return None
    _percent, counts, resolution = stated(reading.accuracy)
    return judge_polarization(
        minute_1_megohm=minute_1,
        minute_10_megohm=minute_10,
        minute_10_bound=reading.bound("minute_10_megohm"),
        at_40_c_megohm=at_40.value,
        counts=counts,
        resolution_megohm=resolution,
        limits=reading.limits_for("polarization_index"),
        concerns=(*at_40.concerns, *(("not_one_minute",) if reading.figure("seconds") != 60 else ())),
    )


def chart(reading: Reading, assessment: Assessment) -> Any:
    return against_limit(
        key="winding_insulation",
        title=_("Insulation at 40 °C against its limit"),
        findings=assessment.findings[:1],
        names={"insulation_resistance": _("Winding")},
        log=True,
    )


def general_limits(family: Family | None) -> Mapping[str, tuple[Limit, ...]]:
    """Traction machines are random-wound, or form-wound under 1 kV: one minimum for both (IEEE 43)."""
    return {"insulation_resistance": (RANDOM_WOUND,), "polarization_index": (INDEX_MINIMUM,)}


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
        Figure(
            name="minute_10_megohm",
            label=gettext_lazy("After ten minutes"),
            unit="megohm",
            required=False,
            low=0,
            high=1e6,
            may_be_bound=True,
            help=gettext_lazy("Only for the long test; one minute is enough for most."),
        ),
        Choice(
            name="filling",
            setup=True,
            label=gettext_lazy("The machine runs"),
            choices=(("dry", gettext_lazy("dry")), ("oil", gettext_lazy("in oil"))),
        ),
        Figure(name="air_c", label=gettext_lazy("Air at"), unit="°C", required=False, low=-45, high=60),
        Figure(
            name="humidity_percent",
            label=gettext_lazy("Humidity of the air"),
            unit="%",
            required=False,
            low=0,
            high=100,
            help=gettext_lazy("With the air’s temperature it tells whether moisture settles on the winding."),
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
    quantities={
        "insulation_resistance": gettext_lazy("Insulation at 40 °C"),
        "polarization_index": gettext_lazy("Ten minutes against one"),
    },
    limitable={"insulation_resistance": ("minimum", "megohm"), "polarization_index": ("minimum", "ratio")},
    general_limits=general_limits,
)
