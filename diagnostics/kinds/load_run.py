"""Load run: temperatures at the inlet and at the device over a run on the road or on rolls."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.thermal import assess_load_run
from diagnostics.calculations.verdicts import Assessment
from diagnostics.kind import Figures, Kind, Reading, Text
from diagnostics.unjudged import unjudged

ROWS = ("minutes", "inlet_c", "device_c")


def rows(reading: Reading) -> list[tuple[float, ...]]:
    """Minutes, inlet and device; times to the millisecond, which no logger of temperatures outdoes."""
    minutes, inlet, device = (tuple(reading.values.get(name) or ()) for name in ROWS)
    return [tuple(round(minute, 5) for minute in minutes), inlet, device]


def _problem(minutes: tuple[float, ...], inlet: tuple[float, ...], device: tuple[float, ...]) -> str:
    if not (minutes and inlet and device):
        return "missing"
    if not len(minutes) == len(inlet) == len(device):
        return "missing_equal_rows"
    return "missing_order_in_time" if any(later < earlier for earlier, later in pairwise(minutes)) else ""


def assess(reading: Reading) -> Assessment:
    minutes, inlet, device = rows(reading)
    if problem := _problem(minutes, inlet, device):
        return unjudged(reading, quantity="load_run_rise", unit="K", problem=problem)
    warmest = max(abs(one) for one in (*inlet, *device))
    return assess_load_run(
        times_s=[60 * minute for minute in minutes],
        inlet_c=inlet,
        device_c=device,
        # The least certain temperature stands for all of them.
        uncertainty_k=reading.accuracy.of(warmest) if reading.accuracy else None,
        limits=reading.limits_for("load_run_rise"),
        concerns=reading.concerns,
    )


def chart(reading: Reading, assessment: Assessment) -> Any:
    """Both temperatures over the run; None where the rows are no run."""
    from diagnostics.charts import curve  # loaded where one is drawn

    minutes, inlet, device = rows(reading)
    if _problem(minutes, inlet, device):
        return None
    return curve.build(
        key="load_run",
        title=_("Temperatures over the run"),
        series=[
            curve.Series(label=_("inlet"), x=minutes, y=inlet),
            curve.Series(label=_("device"), x=minutes, y=device),
        ],
        x_label=_("minutes"),
        y_label="°C",
    )


KIND = Kind(
    code="load_run",
    order=70,
    title=gettext_lazy("Temperature under load"),
    purpose=gettext_lazy("Inlet and device over a run under load, until the device stops getting warmer."),
    states=("live",),
    unit="°C",
    second_person=True,
    fields=(
        Text(
            name="device",
            setup=True,
            label=gettext_lazy("Device"),
            help=gettext_lazy("For instance: inverter heat sink"),
        ),
        Figures(
            name="minutes",
            label=gettext_lazy("Minutes"),
            unit="min",
            low=0,
            high=600,
            help=gettext_lazy("One figure for each reading, from 0. At least twelve readings tell whether it settles."),
        ),
        Figures(name="inlet_c", label=gettext_lazy("Inlet"), unit="°C", low=-50, high=200),
        Figures(name="device_c", label=gettext_lazy("Device"), unit="°C", low=-50, high=300),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy("The car drives: one person drives, another one reads. On rolls nobody stands in front of it."),
        gettext_lazy(
            "The car is live: authorised people only, covers on, leads and loggers fixed so that nothing is caught. "
            "Warning lamp, smell or smoke: stop, leave. The maker’s procedure first."
        ),
    ),
    quantities={"load_run_rise": gettext_lazy("Highest rise above the inlet")},
    limitable={"load_run_rise": ("maximum", "K")},
)
