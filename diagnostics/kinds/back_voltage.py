"""Back-voltage: three voltages of a machine that is turned with nothing connected to it, and its speed."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.back_voltage import UNIT, assess_back_voltage
from diagnostics.calculations.verdicts import Assessment
from diagnostics.kind import Figure, Kind, Meter, Reading, stated
from diagnostics.unjudged import unjudged

PAIRS = {"uv_v": "U–V", "vw_v": "V–W", "wu_v": "W–U"}


def assess(reading: Reading) -> Assessment:
    volts = [reading.figure(name) for name in PAIRS]
    speed = reading.figure("speed_rpm")
    read = [one for one in volts if one is not None]
    if not speed or len(read) < 3 or not any(read):
        problem = "missing_voltage_while_turning" if speed and len(read) == 3 else "missing"
        return unjudged(reading, quantity="back_voltage_unbalance", unit="%", problem=problem)
    percent, counts, resolution = stated(reading.accuracy)
    return assess_back_voltage(
        voltages_v=read,
        speed_rpm=speed,
        speed_uncertainty_rpm=reading.spread("speed_rpm", "tachometer"),
        percent_of_reading=percent,
        counts=counts,
        resolution_v=resolution,
        unbalance_limits=reading.limits_for("back_voltage_unbalance"),
        constant_limits=reading.limits_for("back_voltage_constant"),
        concerns=reading.concerns_with("tachometer"),
    )


def chart(reading: Reading, assessment: Assessment) -> Any:
    """Each pair's deviation from the mean of the three; None without three voltages."""
    from diagnostics.charts import deviation_bars  # loaded where one is drawn

    unbalance = assessment.findings[0]
    volts = [reading.figure(name) or 0.0 for name in PAIRS]
    if unbalance.value is None:
        return None
    mean = sum(volts) / 3
    return deviation_bars.build(
        key="back_voltage",
        title=_("Deviation of each pair from the mean of the three"),
        unit="V",
        reference=_("at one speed"),
        limit_percent=unbalance.limit.value if unbalance.limit else None,
        pairs=[
            deviation_bars.Pair(
                label=label,
                value=value,
                deviation_percent=100 * (value - mean) / mean,
                uncertainty_percent=unbalance.uncertainty or 0.0,
            )
            for label, value in zip(PAIRS.values(), volts, strict=True)
        ],
    )


KIND = Kind(
    code="back_voltage",
    order=24,
    title=gettext_lazy("Back-voltage"),
    purpose=gettext_lazy("The machine turned at a known speed, nothing connected to it: three voltages."),
    states=("live",),
    unit="V",
    second_person=True,
    per_subject=gettext_lazy("Machine"),
    fields=(
        Meter(name="tachometer", label=gettext_lazy("Tachometer"), unit="rpm"),
        Figure(
            name="speed_rpm",
            label=gettext_lazy("Speed"),
            unit="rpm",
            low=1,
            high=30000,
            meter="tachometer",
            help=gettext_lazy("Of the rotor, not of the wheel."),
        ),
        *(Figure(name=name, label=label, unit="V", low=0, high=1500, reading=True) for name, label in PAIRS.items()),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy("Turning wheels make voltage: as long as anything turns, the machine’s terminals are live."),
        gettext_lazy(
            "Live work: authorised people only, with a second person, gloves and meter of the right class for the "
            "highest voltage that the speed can make. Wheels held before anything is touched. The maker’s procedure "
            "first."
        ),
    ),
    quantities={
        "back_voltage_unbalance": gettext_lazy("Unbalance"),
        "back_voltage_constant": gettext_lazy("Voltage for each 1000 rpm"),
    },
    limitable={"back_voltage_unbalance": ("maximum", "%"), "back_voltage_constant": ("range", UNIT)},
)
