"""Proof of absence of voltage: what every other measurement on a dead car rests on."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.absence_of_voltage import POINTS, assess_absence_of_voltage
from diagnostics.calculations.verdicts import Assessment
from diagnostics.finding_chart import against_limit
from diagnostics.kind import Figure, Kind, Reading, Text, Tick

NAMES = dict(
    zip(
        POINTS,
        (gettext_lazy("Plus to minus"), gettext_lazy("Plus to body"), gettext_lazy("Minus to body")),
        strict=True,
    )
)


def assess(reading: Reading) -> Assessment:
    volts = [reading.figure(f"{points}_v") for points in POINTS]
    return assess_absence_of_voltage(
        positive_to_negative_v=volts[0],
        positive_to_body_v=volts[1],
        negative_to_body_v=volts[2],
        uncertainties_v=[reading.accuracy.of(v) if reading.accuracy and v is not None else None for v in volts],
        meter_proved_before=bool(reading.values.get("meter_proved_before")),
        meter_proved_after=bool(reading.values.get("meter_proved_after")),
        concerns=reading.concerns,
    )


def chart(reading: Reading, assessment: Assessment) -> Any:
    return against_limit(
        key="absence_of_voltage",
        title=_("Voltages at the measuring points"),
        findings=assessment.findings,
        names={f"voltage_{points}": str(name) for points, name in NAMES.items()},
    )


KIND = Kind(
    code="absence_of_voltage",
    order=5,
    title=gettext_lazy("Proof of absence of voltage"),
    purpose=gettext_lazy("Three voltages at named points, the meter proved on a known source before and after."),
    states=("dead",),
    unit="V",
    second_person=True,
    fields=(
        Text(
            name="makers_wait",
            setup=True,
            label=gettext_lazy("The maker’s waiting time, and where it is written"),
            help=gettext_lazy("Not known: stop here and look it up."),
        ),
        Text(
            name="points",
            setup=True,
            label=gettext_lazy("Measuring points"),
            help=gettext_lazy("For instance: inverter inlet"),
        ),
        Tick(name="meter_proved_before", label=gettext_lazy("Meter proved on a known source before")),
        *(
            Figure(name=f"{points}_v", label=name, unit="V", low=-1500, high=1500, reading=True)
            for points, name in NAMES.items()
        ),
        Tick(name="meter_proved_after", label=gettext_lazy("Meter proved on a known source after")),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy("High voltage kills, also in a car that is switched off."),
        gettext_lazy(
            "Charge lead out, key locked away, 12 V off, service disconnect out and locked away, maker’s wait kept. "
            "Insulating gloves of the right class, in date and air-tested; meter and leads of the right category; a "
            "second person stands by. The battery pack itself stays live."
        ),
    ),
    quantities={f"voltage_{points}": name for points, name in NAMES.items()},
    bear_in_mind=(
        gettext_lazy("It holds until a connector is opened, 12 V is on or the service disconnect is refitted."),
    ),
)
