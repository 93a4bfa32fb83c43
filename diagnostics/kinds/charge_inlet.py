"""Charge inlet: look, lock, sensors and earth with the car dead; then, live, the levels of the pilot."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.bonding import STANDARD_LIMIT
from diagnostics.calculations.charge_inlet import STATES, assess_charge_inlet
from diagnostics.calculations.verdicts import Assessment, Limit
from diagnostics.finding_chart import against_limit
from diagnostics.kind import Choice, Family, Figure, Kind, Meter, Reading, Tick

SENSORS = {"1": gettext_lazy("Sensor 1"), "2": gettext_lazy("Sensor 2")}
NEAR_20_C = (18.0, 22.0)  # the limit of a sensor is that at 20 °C; one kelvin moves such a sensor by some four percent
PILOT = {
    "a": gettext_lazy("Pilot, nothing plugged in (12 V)"),
    "b": gettext_lazy("Pilot, plugged in (9 V)"),
    "c": gettext_lazy("Pilot, charging (6 V)"),
}


def assess(reading: Reading) -> Assessment:
    read = {sensor: reading.figure(f"sensor_{sensor}_ohm") for sensor in SENSORS}
    ohms = {sensor: ohm for sensor, ohm in read.items() if ohm is not None}
    spreads = [spread for sensor in ohms if (spread := reading.spread(f"sensor_{sensor}_ohm")) is not None]
    temperature = reading.temperature_c
    at_20 = temperature is not None and NEAR_20_C[0] <= temperature <= NEAR_20_C[1]
    volts = {state: reading.figure(f"pilot_{state}_v") for state in STATES}
    volt_spreads = [
        spread for state in STATES if (spread := reading.spread(f"pilot_{state}_v", "voltmeter")) is not None
    ]
    wear = str(reading.values.get("wear") or "not_looked")
    return assess_charge_inlet(
        wear={"not_looked": None, "none": []}.get(wear, [wear]),
        lock_holds={"holds": True, "lock_does_not_hold": False}.get(str(reading.values.get("lock"))),
        sensors_ohm=ohms,
        earth_ohm=reading.figure("earth_ohm"),
        pilot_v=volts,
        sensor_uncertainty_ohm=max(spreads, default=None),
        earth_uncertainty_ohm=reading.spread("earth_ohm"),
        pilot_uncertainty_v=max(volt_spreads, default=None),
        sensor_limits=reading.limits_for("inlet_sensor"),
        earth_limits=reading.limits_for("inlet_earth"),
        pilot_limits={state: reading.limits_for(f"pilot_state_{state}") for state in STATES},
        sensor_concerns=() if at_20 else ("not_at_20_c",),
        concerns=(*reading.concerns, *_taken_live(reading)),
        live_concerns=(
            *(("pilot_needs_live",) if reading.state == "dead" else ()),
            *reading.concerns_with("voltmeter"),
        ),
    )


def _taken_live(reading: Reading) -> tuple[str, ...]:
    """In a live record somebody has to say that all but the pilot was taken before, dead."""
    return ("not_taken_dead",) if reading.state == "live" and not reading.values.get("taken_dead") else ()


def chart(reading: Reading, assessment: Assessment) -> Any:
    return against_limit(
        key="charge_inlet",
        title=_("Earth contact against its limit"),
        findings=[finding for finding in assessment.findings if finding.quantity == "inlet_earth"],
        names={"inlet_earth": _("Earth")},
    )


def general_limits(family: Family | None) -> Mapping[str, tuple[Limit, ...]]:
    """The earth contact is a bond. The pilot's levels are known from memory only, so that somebody enters them."""
    return {"inlet_earth": (STANDARD_LIMIT,)}


KIND = Kind(
    code="charge_inlet",
    order=65,
    title=gettext_lazy("Charge inlet"),
    purpose=gettext_lazy("Wear, lock, sensors and earth with the car dead; then live: the levels of the pilot."),
    states=("dead", "live"),
    unit="ohm",
    needs_temperature=True,
    fields=(
        Choice(
            name="wear",
            label=gettext_lazy("Contacts and housing"),
            choices=(
                ("not_looked", gettext_lazy("not looked at yet")),
                ("none", gettext_lazy("whole and clean")),
                ("melted", gettext_lazy("melted")),
                ("burnt_contact", gettext_lazy("a contact is burnt")),
                ("corrosion", gettext_lazy("corroded")),
                ("loose_contact", gettext_lazy("a contact is loose")),
                ("cracked", gettext_lazy("cracked")),
            ),
        ),
        Choice(
            name="lock",
            label=gettext_lazy("The lock"),
            choices=(
                ("not_tried", gettext_lazy("not tried yet")),
                ("holds", gettext_lazy("holds the plug")),
                ("lock_does_not_hold", gettext_lazy("doesn’t hold it")),
            ),
        ),
        *(
            Figure(name=f"sensor_{sensor}_ohm", label=name, unit="ohm", required=False, low=0, high=1e7, reading=True)
            for sensor, name in SENSORS.items()
        ),
        Figure(
            name="earth_ohm",
            label=gettext_lazy("Earth to body"),
            unit="ohm",
            required=False,
            low=0,
            high=1e6,
            reading=True,
        ),
        Tick(
            name="taken_dead",
            label=gettext_lazy("All of this was taken with the car dead"),
            help=gettext_lazy("The pilot comes after it, with the car live."),
        ),
        Meter(name="voltmeter", label=gettext_lazy("Voltmeter"), unit="V"),
        *(
            Figure(
                name=f"pilot_{state}_v",
                label=PILOT[state],
                unit="V",
                required=False,
                low=-15,
                high=15,
                meter="voltmeter",
                help=gettext_lazy("The positive level.") if state == "a" else "",
            )
            for state in STATES
        ),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy("The charging cable carries mains or pack voltage: unplugged, and the post switched off, first."),
        gettext_lazy(
            "The pilot is measured live and with a test adapter only, by authorised people, with a second person. A "
            "melted or burnt inlet is not charged through any more. The maker’s procedure first, and the local code "
            "for the supply."
        ),
    ),
    quantities={
        "inlet_wear": gettext_lazy("Contacts and housing"),
        "inlet_lock": gettext_lazy("Lock"),
        **{f"inlet_sensor_{sensor}": name for sensor, name in SENSORS.items()},
        "inlet_sensor": gettext_lazy("Each sensor at 20 °C"),
        "inlet_earth": gettext_lazy("Earth to body"),
        **{f"pilot_state_{state}": words for state, words in PILOT.items()},
    },
    limitable={
        "inlet_sensor": ("range", "ohm"),
        "inlet_earth": ("maximum", "ohm"),
        **{f"pilot_state_{state}": ("range", "V") for state in STATES},
    },
    general_limits=general_limits,
)
