"""Discharge of the link capacitor: a logged voltage, and how long it took to come down to 60 V."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.link_capacitor import LOW_V, assess_discharge
from diagnostics.calculations.measurement_log import MeasurementLog
from diagnostics.calculations.verdicts import Assessment
from diagnostics.kind import Figure, Figures, Kind, Log, Reading, stated
from diagnostics.log_preview import preview
from diagnostics.unjudged import unjudged


def samples(reading: Reading) -> tuple[list[float], list[float]]:
    """Times and volts, from the log or from the typed points; what is stored of a log is its preview."""
    log = reading.values.get("log")
    if isinstance(log, MeasurementLog):
        return log.times_s.tolist(), log.volts_v.tolist()
    if log:
        return preview(log)["times_s"], preview(log)["volts_v"]
    return list(reading.values.get("times_s") or ()), list(reading.values.get("volts_v") or ())


def assess(reading: Reading) -> Assessment:
    times, volts = samples(reading)
    limits = reading.limits_for("time_to_60_v")
    problem = _problem(times, volts)
    if problem:
        unread = unjudged(reading, quantity="time_to_60_v", unit="s", problem=problem)
        return replace(unread, next_steps=(*unread.next_steps, "keep_the_makers_wait"))
    percent, counts, resolution = stated(reading.accuracy)
    microfarad = reading.figure("capacitance_microfarad")
    return assess_discharge(
        times_s=times,
        volts=volts,
        percent_of_reading=percent,
        counts=counts,
        resolution_v=resolution,
        limits=limits,
        capacitance_f=None if microfarad is None else microfarad / 1e6,
        energy_limits=reading.limits_for("energy_left"),
        concerns=(*reading.concerns, *_begins_late(reading, volts[0])),
    )


def _begins_late(reading: Reading, first_v: float) -> tuple[str, ...]:
    """A log whose first sample is below what stood there when the car was switched off counts too short a time."""
    start = reading.figure("start_v")
    if start is None:
        return ()
    spread = reading.accuracy.of(start) if reading.accuracy else 0.0
    return ("log_begins_late",) if first_v < start - 2 * spread else ()  # both figures have their uncertainty


def _problem(times: list[float], volts: list[float]) -> str:
    """Why these samples are no discharge, as a reason code; empty when they are one."""
    if len(times) != len(volts) or len(times) < 2:
        return "missing_samples"
    if any(later < earlier for earlier, later in pairwise(times)):
        return "missing_order_in_time"
    return "missing_start_above_60_v" if volts[0] <= LOW_V else ""


def chart(reading: Reading, assessment: Assessment) -> Any:
    from diagnostics.charts import curve  # loaded where one is drawn

    times, volts = samples(reading)
    if _problem(times, volts):
        return None
    finding = assessment.findings[0]
    allowed = finding.limit.value if finding.limit else None
    limits = [curve.Limit(kind="maximum", value=LOW_V, label=_("60 V"), after=allowed)] if allowed is not None else []
    return curve.build(
        key="link_capacitor_discharge",
        title=_("Voltage of the link capacitor"),
        series=[curve.Series(label=_("logged"), x=[t - times[0] for t in times], y=volts)],
        x_label=_("seconds"),
        y_label=_("volt"),
        limits=limits,
        zero=True,
    )


KIND = Kind(
    code="link_capacitor_discharge",
    order=15,
    title=gettext_lazy("Discharge of the link capacitor"),
    purpose=gettext_lazy("The link’s voltage logged from switching off until it is below 60 V."),
    states=("live",),
    unit="V",
    second_person=True,
    fields=(
        Figure(
            name="capacitance_microfarad",
            setup=True,
            label=gettext_lazy("Capacitance of the link"),
            unit="microfarad",
            required=False,
            low=0.1,
            high=1e5,
            help=gettext_lazy("As the maker states it; for the energy that is left above 60 V."),
        ),
        Figure(
            name="start_v",
            label=gettext_lazy("When it was switched off"),
            unit="V",
            required=False,
            low=0,
            high=1500,
            help=gettext_lazy("A log that begins lower than this began too late."),
        ),
        Log(
            name="log",
            label=gettext_lazy("Log (CSV: time, voltage, current)"),
            required=False,
            help=gettext_lazy("Or type the points below."),
        ),
        Figures(name="times_s", label=gettext_lazy("Times"), unit="s", required=False),
        Figures(name="volts_v", label=gettext_lazy("Voltages at these times"), unit="V", required=False),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy(
            "Capacitors hold charge after the car is off. This page never says how long to wait: the maker does."
        ),
        gettext_lazy("Live work: authorised people only, with a second person, gloves and meter of the right class."),
    ),
    quantities={"time_to_60_v": gettext_lazy("Time to 60 V"), "energy_left": gettext_lazy("Energy left above 60 V")},
    limitable={"time_to_60_v": ("maximum", "s"), "energy_left": ("maximum", "J")},
)
