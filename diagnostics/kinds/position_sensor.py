"""Position sensor of a machine: its three coils, sine against cosine, and each coil against the body."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.position_sensor import COILS, assess_position_sensor
from diagnostics.calculations.verdicts import Assessment
from diagnostics.finding_chart import against_limit
from diagnostics.kind import Figure, Kind, Meter, Reading, stated

NAMES = dict(zip(COILS, (gettext_lazy("Exciter"), gettext_lazy("Sine"), gettext_lazy("Cosine")), strict=True))
BODY_NAMES = dict(
    zip(
        COILS,
        (gettext_lazy("Exciter to body"), gettext_lazy("Sine to body"), gettext_lazy("Cosine to body")),
        strict=True,
    )
)


def to_body(reading: Reading) -> tuple[dict[str, float | None], dict[str, str | None], float | None]:
    """Insulation of each coil, its bound, and the largest uncertainty of them in percent.

    A display that reads no more than its own counts says "at most" those.
    """
    tester = reading.accuracy_of("insulation_tester")
    megohm = {coil: reading.figure(f"{coil}_to_body_megohm") for coil in COILS}
    bounds = {coil: reading.bound(f"{coil}_to_body_megohm") for coil in COILS}
    if tester is None:
        return megohm, bounds, None
    digits, percent = tester.of(0.0), tester.percent_of_reading
    for coil, one in megohm.items():
        if one is not None and one <= digits:
            megohm[coil], bounds[coil] = digits, "at_most"
        if digits and one is not None:
            percent = max(percent, tester.percent_of_reading + 100 * digits / max(one, digits))
    return megohm, bounds, percent


def assess(reading: Reading) -> Assessment:
    ohms = {coil: reading.figure(f"{coil}_ohm") for coil in COILS}
    bounds = {coil: reading.bound(f"{coil}_ohm") for coil in COILS}
    if ohms["sine"] == ohms["cosine"] == 0:
        bounds |= {"sine": "at_most", "cosine": "at_most"}  # two shorts have no difference
    megohm, body_bounds, body_percent = to_body(reading)
    percent, counts, resolution = stated(reading.accuracy)
    return assess_position_sensor(
        coils_ohm=ohms,
        percent_of_reading=percent,
        counts=counts,
        resolution_ohm=resolution,
        coil_bounds=bounds,
        coil_limits={coil: reading.limits_for(f"{coil}_resistance") for coil in COILS},
        difference_limits=reading.limits_for("sine_cosine_difference"),
        to_body_megohm=megohm,
        to_body_uncertainty_percent=body_percent,
        to_body_bounds=body_bounds,
        to_body_limits=reading.limits_for("coil_to_body"),
        concerns=reading.concerns_with("insulation_tester"),
    )


def chart(reading: Reading, assessment: Assessment) -> Any:
    return against_limit(
        key="position_sensor",
        title=_("Coils against the body"),
        findings=[finding for finding in assessment.findings if finding.quantity.endswith("_to_body")],
        names={f"{coil}_to_body": str(name) for coil, name in NAMES.items()},
        log=True,
    )


KIND = Kind(
    code="position_sensor",
    order=26,
    title=gettext_lazy("Position sensor"),
    purpose=gettext_lazy("Its three coils and each of them against the body, at the sensor’s own connector."),
    states=("dead", "bench"),
    unit="ohm",
    per_subject=gettext_lazy("Machine"),
    fields=(
        *(
            Figure(name=f"{coil}_ohm", label=name, unit="ohm", low=0, high=1e6, may_be_bound=True, reading=True)
            for coil, name in NAMES.items()
        ),
        Meter(name="insulation_tester", label=gettext_lazy("Insulation tester"), unit="megohm"),
        *(
            Figure(
                name=f"{coil}_to_body_megohm",
                label=name,
                unit="megohm",
                low=0,
                high=1e6,
                may_be_bound=True,
                reading=True,
                meter="insulation_tester",
            )
            for coil, name in BODY_NAMES.items()
        ),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy("Only after absence of voltage is proved: the sensor sits inside the machine."),
        gettext_lazy(
            "Unplug it from the control unit first: the tester’s voltage would destroy that. No more of it than the "
            "maker names. Gloves on, never alone, the maker’s procedure first."
        ),
    ),
    quantities={
        **{f"{coil}_resistance": name for coil, name in NAMES.items()},
        "sine_cosine_difference": gettext_lazy("Sine against cosine"),
        **{f"{coil}_to_body": name for coil, name in BODY_NAMES.items()},
        "coil_to_body": gettext_lazy("Each coil to body"),
    },
    limitable={
        **{f"{coil}_resistance": ("range", "ohm") for coil in COILS},
        "sine_cosine_difference": ("maximum", "%"),
        "coil_to_body": ("minimum", "megohm"),
    },
)
