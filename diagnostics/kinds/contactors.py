"""Contactors and precharge: coil, contact open and closed of each, the precharge resistor and its rise time."""

from __future__ import annotations

from typing import Any

from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.contactors import ContactorReadings, assess_contactors
from diagnostics.calculations.verdicts import Assessment
from diagnostics.finding_chart import against_limit
from diagnostics.kind import Figure, Kind, Reading, stated

CONTACTORS = {
    "positive": gettext_lazy("Plus"),
    "negative": gettext_lazy("Minus"),
    "precharge": gettext_lazy("Precharge"),
}
PARTS = {"coil": gettext_lazy("coil"), "open": gettext_lazy("open"), "closed": gettext_lazy("closed")}


def read_at(reading: Reading, contactor: str) -> ContactorReadings:
    ohms = {part: reading.figure(f"{contactor}_{part}_ohm") for part in PARTS}
    bounds = {part: reading.bound(f"{contactor}_{part}_ohm") for part in PARTS}
    return ContactorReadings(
        name=contactor,
        coil_ohm=ohms["coil"],
        open_ohm=ohms["open"],
        closed_ohm=ohms["closed"],
        coil_bound=bounds["coil"],
        open_bound=bounds["open"],
        closed_bound=bounds["closed"],
    )


def assess(reading: Reading) -> Assessment:
    percent, counts, resolution = stated(reading.accuracy)
    return assess_contactors(
        contactors=[read_at(reading, contactor) for contactor in CONTACTORS],
        precharge_ohm=reading.figure("precharge_ohm"),
        rise_time_s=reading.figure("rise_time_s"),
        # The voltage crossed its mark somewhere between two samples.
        rise_time_uncertainty_s=reading.figure("sample_step_s"),
        percent_of_reading=percent,
        counts=counts,
        resolution_ohm=resolution,
        coil_limits=reading.limits_for("contactor_coil"),
        open_limits=reading.limits_for("contactor_open"),
        closed_limits=reading.limits_for("contactor_closed"),
        precharge_limits=reading.limits_for("precharge_resistance"),
        rise_time_limits=reading.limits_for("precharge_rise_time"),
        concerns=reading.concerns,
    )


def chart(reading: Reading, assessment: Assessment) -> Any:
    return against_limit(
        key="contactors",
        title=_("Coils of the contactors"),
        findings=[finding for finding in assessment.findings if finding.quantity.endswith("_coil")],
        names={f"{contactor}_coil": str(name) for contactor, name in CONTACTORS.items()},
    )


def _ohms(contactor: str, part: str) -> Figure:
    return Figure(
        name=f"{contactor}_{part}_ohm",
        label=format_lazy("{}, {}", CONTACTORS[contactor], PARTS[part]),
        unit="ohm",
        required=False,
        low=0,
        high=1e10,
        may_be_bound=True,
        reading=True,
        help={
            "open": gettext_lazy("Commanded open; OL is what it should read."),
            "closed": gettext_lazy("Commanded closed, battery side disconnected; also < 0.01."),
        }.get(part, ""),
    )


KIND = Kind(
    code="contactors",
    order=36,
    title=gettext_lazy("Contactors and precharge"),
    purpose=gettext_lazy("Coil, contact open and closed of each contactor, the precharge resistor and its rise time."),
    states=("bench", "dead"),
    unit="ohm",
    second_person=True,
    fields=(
        *(_ohms(contactor, part) for contactor in CONTACTORS for part in PARTS),
        Figure(
            name="precharge_ohm",
            label=gettext_lazy("Precharge resistor"),
            unit="ohm",
            required=False,
            low=0,
            high=1e6,
            reading=True,
        ),
        Figure(
            name="rise_time_s",
            label=gettext_lazy("Rise to 95 %"),
            unit="s",
            required=False,
            low=0,
            high=60,
            help=gettext_lazy("From a logged start: of the link’s voltage."),
        ),
        Figure(
            name="sample_step_s",
            setup=True,
            label=gettext_lazy("Logged every"),
            unit="s",
            required=False,
            low=1e-6,
            high=10,
            help=gettext_lazy("How certain the rise time is."),
        ),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy("A contact that is found closed is welded: stop, the battery is connected to the car."),
        gettext_lazy(
            "Behind the contactors the battery stays live. Never command one closed by hand while the battery is "
            "connected. Gloves of the right class, a second person stands by, the maker’s procedure first."
        ),
    ),
    quantities={
        **{
            f"{contactor}_{part}": format_lazy("{}, {}", name, words)
            for contactor, name in CONTACTORS.items()
            for part, words in PARTS.items()
        },
        "precharge_resistance": gettext_lazy("Precharge resistor"),
        "precharge_rise_time": gettext_lazy("Rise to 95 %"),
        "contactor_coil": gettext_lazy("Coil of each contactor"),
        "contactor_open": gettext_lazy("Contact commanded open"),
        "contactor_closed": gettext_lazy("Contact commanded closed"),
    },
    limitable={
        "contactor_coil": ("range", "ohm"),
        "contactor_open": ("minimum", "ohm"),
        "contactor_closed": ("maximum", "ohm"),
        "precharge_resistance": ("range", "ohm"),
        "precharge_rise_time": ("maximum", "s"),
    },
)
