"""Machine windings: three pairs of terminals in milliohm, judged by their unbalance and their mean at 20 °C."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.verdicts import Assessment
from diagnostics.calculations.windings import assess_windings, resistance_at
from diagnostics.kind import Choice, Figure, Kind, Reading, stated

PAIRS = {"uv_milliohm": "U–V", "vw_milliohm": "V–W", "wu_milliohm": "W–U"}


def assess(reading: Reading) -> Assessment:
    pairs = [_ohm(reading, name) for name in PAIRS]
    percent, counts, resolution = stated(reading.accuracy)
    return assess_windings(
        pairs_ohm=pairs,
        leads_ohm=_ohm(reading, "leads_milliohm"),
        measured_c=reading.temperature_c,
        percent_of_reading=percent,
        counts=counts,
        resolution_ohm=None if resolution is None else resolution / 1000,
        machine=reading.values.get("machine_type")
        or (reading.family.machine_type if reading.family else "permanent_magnet"),
        bounds=[reading.bound(name) for name in PAIRS],
        unbalance_limits=reading.limits_for("winding_unbalance"),
        resistance_limits=reading.limits_for("winding_resistance"),
        concerns=reading.concerns,
    )


def chart(reading: Reading, assessment: Assessment) -> Any:
    """Each pair's deviation from the mean of the three, with the uncertainty of the unbalance; None without three."""
    from diagnostics.charts import deviation_bars  # loaded where one is drawn

    leads = reading.figure("leads_milliohm") or 0.0
    net = [reading.figure(name) for name in PAIRS]
    unbalance = next(
        (f for f in assessment.findings if f.quantity == "winding_unbalance" and f.value is not None), None
    )
    if unbalance is None or any(one is None or one <= leads for one in net):
        return None
    at_c = 20.0 if reading.temperature_c is None else reading.temperature_c
    at_20 = [resistance_at(resistance_ohm=one - leads, measured_c=at_c) for one in net if one is not None]
    mean = sum(at_20) / 3
    return deviation_bars.build(
        key="machine_windings",
        title=_("Deviation of each pair from the mean of the three"),
        unit=_("milliohm"),
        reference=_("at 20 °C"),
        limit_percent=unbalance.limit.value if unbalance.limit else None,
        pairs=[
            deviation_bars.Pair(
                label=label,
                value=value,
                deviation_percent=100 * (value - mean) / mean,
                uncertainty_percent=unbalance.uncertainty or 0.0,
            )
            for label, value in zip(PAIRS.values(), at_20, strict=True)
        ],
    )


def _ohm(reading: Reading, name: str) -> float | None:
    milliohm = reading.figure(name)
    return None if milliohm is None else milliohm / 1000


KIND = Kind(
    code="machine_windings",
    order=20,
    title=gettext_lazy("Machine windings"),
    purpose=gettext_lazy("Four wires, one instrument and one range for all three pairs, connector unplugged."),
    states=("dead", "bench"),
    unit="milliohm",
    needs_temperature=True,
    per_subject=gettext_lazy("Machine"),
    fields=(
        Figure(
            name="leads_milliohm",
            label=gettext_lazy("Leads, short"),
            unit="milliohm",
            low=0,
            high=2000,
            help=gettext_lazy("The test leads held together; 0 for four wires."),
        ),
        *(
            Figure(name=name, label=label, unit="milliohm", low=0, high=1e6, may_be_bound=True, reading=True)
            for name, label in PAIRS.items()
        ),
        Choice(
            name="machine_type",
            setup=True,
            label=gettext_lazy("Type of machine"),
            choices=(
                ("permanent_magnet", gettext_lazy("permanent magnet")),
                ("induction", gettext_lazy("induction")),
                ("wound_rotor", gettext_lazy("wound rotor")),
            ),
            required=False,
            of_family=True,
        ),
        Choice(
            name="connection",
            setup=True,
            label=gettext_lazy("Connection"),
            choices=(("wye", gettext_lazy("star (wye)")), ("delta", gettext_lazy("delta"))),
            required=False,
            of_family=True,
        ),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy("Only after absence of voltage is proved, and while it stays proved."),
        gettext_lazy(
            "Turning wheels make voltage at the machine: the car stands on its brake. Gloves on, never alone, the "
            "maker’s procedure first."
        ),
    ),
    quantities={
        "winding_unbalance": gettext_lazy("Unbalance"),
        "winding_resistance": gettext_lazy("Mean of the pairs at 20 °C"),
    },
    limitable={"winding_unbalance": ("maximum", "%"), "winding_resistance": ("range", "ohm")},
)
