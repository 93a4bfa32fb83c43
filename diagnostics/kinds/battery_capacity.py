"""Capacity of the traction battery, from a logged discharge or as a module's own estimate."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.battery import assess_capacity
from diagnostics.calculations.battery.capacity import HYBRID_LIMIT, METHODS
from diagnostics.calculations.measurement_log import MeasurementLog
from diagnostics.calculations.verdicts import Assessment, Limit
from diagnostics.kind import Choice, Family, Figure, Kind, Log, Reading
from diagnostics.log_preview import preview
from diagnostics.unjudged import unjudged


def assess(reading: Reading) -> Assessment:
    rated = reading.figure("rated_ah") or (reading.family.rated_ah if reading.family else None)
    method = str(reading.values.get("method") or "bench")
    log = reading.values.get("log")
    if rated is None:
        return unjudged(reading, quantity=f"capacity_{method}", unit="%", problem="missing_rated_capacity")
    try:
        return assess_capacity(
            method=method,
            rated_ah=rated,
            log=log if isinstance(log, MeasurementLog) else None,
            measured_ah=None if isinstance(log, MeasurementLog) else reading.figure("measured_ah"),
            cut_off_v=reading.figure("cut_off_v"),
            zero_before_a=reading.figure("zero_before_a"),
            zero_after_a=reading.figure("zero_after_a"),
            percent_of_reading=reading.accuracy.percent_of_reading if reading.accuracy else None,
            vehicle=reading.family.drive if reading.family else "electric",
            limits=reading.limits_for("state_of_health"),
            concerns=(*reading.concerns, *_other_state(method, reading.state)),
        )
    except ValueError:
        # A log whose net charge is below zero: its current has the other sign.
        return unjudged(reading, quantity=f"capacity_{method}", unit="%", problem="missing_discharge_current")


def _other_state(method: str, state: str) -> tuple[str, ...]:
    """A capacity from the car, or its module's own estimate, is one of a live car; one from the bench is not."""
    return ("wrong_state",) if state and (method == "bench") != (state == "bench") else ()


def chart(reading: Reading, assessment: Assessment) -> Any:
    """The battery's voltage over the logged discharge, with the cut-off; None for an estimate."""
    from diagnostics.charts import curve  # loaded where one is drawn

    log = reading.values.get("log")
    if not log:
        return None
    shown = preview(log)
    cut_off = reading.figure("cut_off_v")
    return curve.build(
        key="battery_capacity",
        title=_("Voltage during the discharge"),
        series=[
            curve.Series(
                label=_("battery"), x=[(t - shown["times_s"][0]) / 60 for t in shown["times_s"]], y=shown["volts_v"]
            )
        ],
        x_label=_("minutes"),
        y_label=_("volt"),
        limits=[curve.Limit(kind="minimum", value=cut_off, label=_("cut-off"))] if cut_off else [],
    )


def general_limits(family: Family | None) -> Mapping[str, tuple[Limit, ...]]:
    """40 % for hybrids (common practice, no source); for electric cars only the maker can say."""
    return {"state_of_health": (HYBRID_LIMIT,)} if family and family.drive == "hybrid" else {}


METHOD_WORDS = {
    "bench": gettext_lazy("on the bench"),
    "in_car": gettext_lazy("in the car"),
    "module_estimate": gettext_lazy("a module’s own estimate"),
}

KIND = Kind(
    code="battery_capacity",
    order=40,
    title=gettext_lazy("Battery capacity"),
    purpose=gettext_lazy("A logged discharge to the cut-off, the clamp’s zero read before and after."),
    states=("bench", "live"),
    unit="A",
    needs_temperature=True,
    second_person=True,
    fields=(
        Choice(
            name="method",
            setup=True,
            label=gettext_lazy("How it was got"),
            choices=tuple((m, METHOD_WORDS[m]) for m in METHODS),
        ),
        Figure(
            name="zero_before_a",
            label=gettext_lazy("Clamp zero before"),
            unit="A",
            required=False,
            low=-10,
            high=10,
            help=gettext_lazy("An offset of 0.5 A over three hours is 23 % of 6.5 Ah."),
        ),
        Log(
            name="log",
            label=gettext_lazy("Log (CSV: time, voltage, current; discharge positive)"),
            required=False,
            help=gettext_lazy("Or type the capacity below."),
        ),
        Figure(
            name="measured_ah",
            label=gettext_lazy("Capacity"),
            unit="Ah",
            required=False,
            low=0,
            high=2000,
            reading=True,
        ),
        Figure(name="cut_off_v", label=gettext_lazy("Cut-off voltage"), unit="V", required=False, low=0, high=1500),
        Figure(name="zero_after_a", label=gettext_lazy("Clamp zero after"), unit="A", required=False, low=-10, high=10),
        Figure(
            name="rated_ah",
            label=gettext_lazy("Rated capacity"),
            unit="Ah",
            required=False,
            low=0.1,
            high=2000,
            help=gettext_lazy("Left out: that of the system family."),
        ),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy("The battery stays live whatever is disconnected, and a damaged cell can burn and reignite."),
        gettext_lazy(
            "Smoke, smell, hissing, heat or coolant where none belongs: stop, leave, call the fire service. Gloves on, "
            "a second person stands by, the maker’s procedure first."
        ),
    ),
    quantities={
        "capacity_bench": gettext_lazy("Capacity, on the bench"),
        "capacity_in_car": gettext_lazy("Capacity, in the car"),
        "capacity_module_estimate": gettext_lazy("Capacity, a module’s own estimate"),
        "state_of_health": gettext_lazy("Capacity left"),
    },
    limitable={"state_of_health": ("minimum", "%")},
    general_limits=general_limits,
)
