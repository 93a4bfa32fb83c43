"""Winding inductance over rotor position: a row of readings for each pair of terminals, compared as whole curves."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.inductance import assess_inductance
from diagnostics.calculations.verdicts import Assessment
from diagnostics.kind import Figures, Kind, Reading, stated
from diagnostics.unjudged import unjudged

PAIRS = {"uv_microhenry": "U–V", "vw_microhenry": "V–W", "wu_microhenry": "W–U"}


def curves(reading: Reading) -> list[tuple[float, ...]]:
    return [tuple(reading.values.get(name) or ()) for name in PAIRS]


def assess(reading: Reading) -> Assessment:
    rows = curves(reading)
    problem = "missing" if not all(rows) else "missing_equal_rows" if len({len(row) for row in rows}) > 1 else ""
    if problem:
        return unjudged(reading, quantity="inductance_difference", unit="%", problem=problem)
    _percent, counts, resolution = stated(reading.accuracy)
    return assess_inductance(
        curves_mh=[[one / 1000 for one in row] for row in rows],
        counts=counts,
        resolution_mh=None if resolution is None else resolution / 1000,
        machine=reading.family.machine_type if reading.family else "permanent_magnet",
        limits=reading.limits_for("inductance_difference"),
        concerns=reading.concerns,
    )


def chart(reading: Reading, assessment: Assessment) -> Any:
    """The three curves over the positions of the rotor, from the first; None without them."""
    from diagnostics.charts import curve  # loaded where one is drawn

    rows = curves(reading)
    if not all(rows):
        return None
    return curve.build(
        key="winding_inductance",
        title=_("Inductance of each pair over a turn of the rotor"),
        series=[
            curve.Series(label=label, x=[float(n + 1) for n in range(len(row))], y=row)
            for label, row in zip(PAIRS.values(), rows, strict=True)
        ],
        x_label=_("position of the rotor"),
        y_label=_("microhenry"),
    )


KIND = Kind(
    code="winding_inductance",
    order=22,
    title=gettext_lazy("Winding inductance"),
    purpose=gettext_lazy("Each pair read at the same equal steps over a whole turn of the rotor, connector unplugged."),
    states=("dead", "bench"),
    unit="microhenry",
    per_subject=gettext_lazy("Machine"),
    fields=tuple(
        Figures(
            name=name,
            label=label,
            unit="microhenry",
            low=0.001,
            high=1e7,
            most=72,
            help=gettext_lazy("One figure for each position, in their order. An induction machine needs one only.")
            if number == 0
            else "",
        )
        for number, (name, label) in enumerate(PAIRS.items())
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy("Only after absence of voltage is proved: a machine that turns makes voltage by itself."),
        gettext_lazy(
            "Turn it slowly by hand, step by step, and read while it stands still. Gloves on, never alone, the maker’s "
            "procedure first. A rotor on the bench: strong magnets, keep away with an implant."
        ),
    ),
    quantities={"inductance_difference": gettext_lazy("Difference of the curves")},
    limitable={"inductance_difference": ("maximum", "%")},
    bear_in_mind=(
        gettext_lazy(
            "With magnets or a wound rotor single values differ in a sound machine too: only whole curves compare."
        ),
    ),
)
