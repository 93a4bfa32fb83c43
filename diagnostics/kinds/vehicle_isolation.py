"""Isolation of the vehicle: the high-voltage system against the body, by two readings and a known resistor."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.isolation import assess_isolation, standard_limit
from diagnostics.calculations.verdicts import Assessment, Limit, judge
from diagnostics.calculations.verdicts import assess as assessed
from diagnostics.finding_chart import against_limit
from diagnostics.kind import Choice, Family, Figure, Kind, Reading, stated

READINGS = ("negative_to_body_v", "positive_to_body_v", "with_resistor_v", "resistor_kilohm")


def assess(reading: Reading) -> Assessment:
    volts = {name: reading.figure(name) for name in READINGS}
    negative, positive, loaded, resistor = (volts[name] for name in READINGS)
    if None in volts.values() or not loaded or not resistor:
        return _cannot_be(reading)
    accuracy = reading.accuracy
    higher = max(abs(negative or 0.0), abs(positive or 0.0))
    spread = accuracy.of(higher) if accuracy else 0.0
    if loaded > higher + spread or higher <= spread:  # no drop, or no voltage that the meter could tell from none
        return _cannot_be(reading)
    percent, counts, resolution = stated(accuracy)
    return assess_isolation(
        negative_to_body_v=abs(negative or 0.0),
        positive_to_body_v=abs(positive or 0.0),
        with_resistor_v=loaded,
        resistor_ohm=1000 * resistor,
        pole_to_pole_v=reading.figure("pole_to_pole_v") or None,
        percent_of_reading=percent,
        counts=counts,
        resolution_v=resolution,
        resistor_tolerance_percent=reading.figure("resistor_tolerance_percent"),
        limits=reading.limits_for("isolation_resistance"),
        concerns=(*reading.concerns, *(("isolation_monitor_on",) if reading.values.get("monitor") == "on" else ())),
    )


def _cannot_be(reading: Reading) -> Assessment:
    """Readings that no isolation gives: the one with the resistor has to be lower than the one without."""
    finding = judge(
        quantity="isolation_resistance",
        value=None,
        unit="kilohm",
        uncertainty=None,
        limit=next(iter(reading.limits_for("isolation_resistance")), None),
        concerns=("missing_drop_with_resistor", *reading.concerns),
    )
    return assessed(findings=[finding])


def chart(reading: Reading, assessment: Assessment) -> Any:
    return against_limit(
        key="vehicle_isolation",
        title=_("Isolation against its limit"),
        findings=assessment.findings,
        names={"isolation_resistance": _("Isolation")},
        log=True,
    )


def general_limits(family: Family | None) -> Mapping[str, tuple[Limit, ...]]:
    """500 ohm for each volt of the highest working voltage, boost included: DC and AC are connected here."""
    if family is None:
        return {}
    return {"isolation_resistance": (standard_limit(system="combined", highest_working_v=family.highest_working_v),)}


KIND = Kind(
    code="vehicle_isolation",
    order=10,
    title=gettext_lazy("Isolation of the vehicle"),
    purpose=gettext_lazy("Each pole against the body, then the higher one again with a known resistor beside it."),
    states=("live",),
    unit="V",
    second_person=True,
    fields=(
        Figure(
            name="pole_to_pole_v",
            label=gettext_lazy("Plus to minus"),
            unit="V",
            required=False,
            low=0,
            high=1500,
            reading=True,
            help=gettext_lazy("Measured, it makes the result exact; without it the two readings are added."),
        ),
        Figure(
            name="negative_to_body_v", label=gettext_lazy("Minus to body"), unit="V", low=0, high=1500, reading=True
        ),
        Figure(name="positive_to_body_v", label=gettext_lazy("Plus to body"), unit="V", low=0, high=1500, reading=True),
        Figure(
            name="resistor_kilohm", setup=True, label=gettext_lazy("Known resistor"), unit="kilohm", low=0.1, high=10000
        ),
        Figure(
            name="resistor_tolerance_percent", setup=True, label=gettext_lazy("Its tolerance"), unit="%", low=0, high=20
        ),
        Figure(
            name="with_resistor_v",
            label=gettext_lazy("With it"),
            unit="V",
            low=0,
            high=1500,
            reading=True,
            help=gettext_lazy("The higher of the two again, the resistor between that pole and the body."),
        ),
        Choice(
            name="monitor",
            label=gettext_lazy("The car’s own isolation monitor"),
            choices=(
                ("off", gettext_lazy("switched off or unplugged, as the maker says")),
                ("on", gettext_lazy("still on: it disturbs the readings")),
                ("none", gettext_lazy("this car has none")),
            ),
        ),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy(
            "This is live work: only by people authorised for it, with a second person, and it ends the proof."
        ),
        gettext_lazy(
            "Insulating gloves of the right class, meter and leads of the right category for the highest voltage. The "
            "maker’s procedure first. Turn the car off and prove absence of voltage again before anything is touched."
        ),
    ),
    quantities={"isolation_resistance": gettext_lazy("Isolation")},
    limitable={"isolation_resistance": ("minimum", "kilohm")},
    general_limits=general_limits,
)
