"""Fan sweep: the fan commanded step by step, and what followed; filter and duct looked at first."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.cooling import STEP_FOR_REASON, FanStep, assess_fan_sweep
from diagnostics.calculations.observations import assess_with_steps, observe
from diagnostics.calculations.verdicts import Assessment
from diagnostics.kind import Accuracy, Choice, Figures, Kind, Meter, Names, Reading
from diagnostics.unjudged import unjudged

UNITS = {"speed": "rpm", "flow": "l/min"}


def sweep(reading: Reading) -> list[FanStep]:
    """The steps by rising command; a step without an expected figure has none."""
    commanded, measured = reading.values.get("commanded_percent") or (), reading.values.get("measured") or ()
    expected = reading.values.get("expected") or (None,) * len(commanded)
    rows = zip(commanded, measured, expected, strict=True)
    return [FanStep(commanded_percent=c, measured=m, expected=e) for c, m, e in sorted(rows, key=lambda row: row[0])]


def _problem(reading: Reading) -> str:
    """Why the rows are no sweep, as a reason code; empty when they are one."""
    rows = [reading.values.get(name) or () for name in ("commanded_percent", "measured", "expected")]
    if len(rows[0]) != len(rows[1]) or (rows[2] and len(rows[2]) != len(rows[0])):
        return "missing_equal_rows"
    if len(rows[0]) < 2:
        return "missing_steps"
    return "missing_distinct_steps" if any(a == b for a, b in pairwise(sorted(rows[0]))) else ""


def used(reading: Reading) -> Accuracy | None:
    """The tachometer is the record's own instrument; a flow is read with the second one."""
    return reading.accuracy_of("flow_meter") if reading.values.get("measure") == "flow" else reading.accuracy


def assess(reading: Reading) -> Assessment:
    unit = UNITS[str(reading.values.get("measure") or "speed")]
    if problem := _problem(reading):
        return unjudged(reading, quantity="fan_rise", unit=unit, problem=problem)
    accuracy, taken = used(reading), sweep(reading)
    concerns = reading.concerns_with("flow_meter") if unit == UNITS["flow"] else reading.concerns
    found = assess_fan_sweep(
        steps=taken,
        unit=unit,
        # The least certain step stands for all of them.
        uncertainty=accuracy.of(max(step.measured or 0.0 for step in taken)) if accuracy else None,
        limits=reading.limits_for("deviation_from_expected"),
        concerns=concerns,
    )
    look = str(reading.values.get("air_path") or "not_looked")
    air_path = observe(
        quantity="fan_air_path",
        signs={"not_looked": None, "clear": []}.get(look, [look]),
        concerns=(*(("missing_look",) if look == "not_looked" else ()), *reading.concerns),
    )
    return assess_with_steps(
        findings=[air_path, *found.findings],
        step_for_reason=STEP_FOR_REASON
        | {"missing_look": "look_at_filter_and_duct", "blocked": "clean_filter_and_duct"},
    )


def chart(reading: Reading, assessment: Assessment) -> Any:
    """The sweep, with the stretches that didn't rise marked; None where the rows are no sweep."""
    from diagnostics.charts import steps  # loaded where one is drawn

    if _problem(reading):
        return None
    accuracy = used(reading)
    rises = [finding for finding in assessment.findings if finding.quantity.startswith("rise_between")]
    return steps.build(
        key="fan_sweep",
        title=_("What followed each commanded step"),
        unit=UNITS[str(reading.values.get("measure") or "speed")],
        steps=[
            steps.Step(
                commanded=step.commanded_percent,
                measured=step.measured or 0.0,
                uncertainty=accuracy.of(step.measured or 0.0) if accuracy else 0.0,
            )
            for step in sweep(reading)
        ],
        flat=[number for number, finding in enumerate(rises) if finding.reason == "no_rise"],
    )


KIND = Kind(
    code="fan_sweep",
    order=50,
    title=gettext_lazy("Fan sweep"),
    purpose=gettext_lazy("The cooling fan commanded step by step: every step has to move more than the one before."),
    states=("twelve_volt",),
    unit="rpm",
    fields=(
        Choice(
            name="air_path",
            label=gettext_lazy("Filter and duct"),
            choices=(
                ("not_looked", gettext_lazy("not looked at yet")),
                ("clear", gettext_lazy("clear")),
                ("blocked", gettext_lazy("clogged or blocked")),
            ),
        ),
        Choice(
            name="measure",
            setup=True,
            label=gettext_lazy("Measured"),
            choices=(("speed", gettext_lazy("speed, rpm")), ("flow", gettext_lazy("flow, l/min"))),
        ),
        Meter(name="flow_meter", label=gettext_lazy("Flow meter"), unit="l/min", help=gettext_lazy("Only for a flow.")),
        Figures(
            name="commanded_percent",
            label=gettext_lazy("Commanded"),
            unit="%",
            low=0,
            high=100,
            most=40,
            help=gettext_lazy("For instance: 20 40 60 80 100"),
        ),
        Figures(
            name="measured",
            label=gettext_lazy("What followed"),
            low=0,
            high=1e6,
            most=40,
            help=gettext_lazy("One figure for each step, in the same order."),
        ),
        Figures(
            name="expected",
            label=gettext_lazy("What the maker states for each"),
            required=False,
            low=0,
            high=1e6,
            most=40,
            help=gettext_lazy("0 where nothing is stated."),
        ),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy("A fan starts by itself: fingers, hair and leads away, also with the service disconnect out."),
        gettext_lazy(
            "12 V is on, so the proof of absence of voltage ends: prove it again before anything orange is touched. "
            "Fan of a battery: the pack beside it stays live. Never alone, the maker’s procedure first."
        ),
    ),
    quantities=Names(
        {
            "fan_air_path": gettext_lazy("Filter and duct"),
            "fan_rise": gettext_lazy("Rise from step to step"),
            "rise_between_{}_and_{}_percent": gettext_lazy("Rise between {} and {} %"),
            "deviation_at_{}_percent": gettext_lazy("Distance from the maker’s figure at {} %"),
            "deviation_from_expected": gettext_lazy("Distance from the maker’s figure at each step"),
        }
    ),
    limitable={"deviation_from_expected": ("maximum", "%")},
)
