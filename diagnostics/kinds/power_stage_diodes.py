"""Diode check of one power stage: every switch forward and in reverse. A unit may hold several stages."""

from __future__ import annotations

from itertools import product
from typing import Any

from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.power_stage import DIRECTIONS, FORWARD_LIMITS, SHORT_V, SIDES, assess_diode_check
from diagnostics.calculations.verdicts import Assessment
from diagnostics.finding_chart import against_limit
from diagnostics.kind import Choice, Figure, Kind, Reading

PHASES = ("U", "V", "W")
SWITCHES = {
    "u_upper": gettext_lazy("U upper"),
    "u_lower": gettext_lazy("U lower"),
    "v_upper": gettext_lazy("V upper"),
    "v_lower": gettext_lazy("V lower"),
    "w_upper": gettext_lazy("W upper"),
    "w_lower": gettext_lazy("W lower"),
}
WAYS = {"forward": gettext_lazy("forward"), "reverse": gettext_lazy("reversed")}
OPEN_FROM_V = FORWARD_LIMITS["silicon"].upper or 0.0  # a display that ends lower can't tell open from conducting
STAGES = (
    ("machine_1", gettext_lazy("stage of machine 1")),
    ("machine_2", gettext_lazy("stage of machine 2")),
    ("machine_3", gettext_lazy("stage of machine 3")),
    ("machine_4", gettext_lazy("stage of machine 4")),
    ("boost", gettext_lazy("boost converter: one pair of switches, typed as U")),
)


def readings(reading: Reading) -> dict[tuple[str, str, str], float | None]:
    """What the calculation needs: None for open. A bound that tells neither open nor short is no reading."""
    volts: dict[tuple[str, str, str], float | None] = {}
    for phase, side, way in product(PHASES, SIDES, DIRECTIONS):
        name = f"{phase.lower()}_{side}_{way}_v"
        figure, bound = reading.figure(name), reading.bound(name)
        if figure is None:
            continue
        if bound is None:
            volts[phase, side, way] = figure
        elif bound == "at_least" and figure >= OPEN_FROM_V:
            volts[phase, side, way] = None
        elif bound == "at_most" and figure <= SHORT_V:
            volts[phase, side, way] = 0.0
    return volts


def assess(reading: Reading) -> Assessment:
    accuracy, volts = reading.accuracy, readings(reading)
    stage = str(reading.values.get("stage") or "")
    typed = {phase for phase, _side, _way in volts}
    return assess_diode_check(
        readings=volts,
        technology=str(reading.values.get("technology") or "silicon"),
        stage=stage.replace("_", " "),
        phases=[phase for phase in PHASES if stage != "boost" or phase == "U" or phase in typed],
        percent_of_reading=accuracy.percent_of_reading if accuracy else 0.0,
        counts=accuracy.counts if accuracy else 0.0,
        resolution_v=accuracy.resolution if accuracy else 0.0,
        concerns=(*reading.concerns, *(() if accuracy else ("uncertainty_unknown",))),
    )


def chart(reading: Reading, assessment: Assessment) -> Any:
    return against_limit(
        key="power_stage_diodes",
        title=_("Forward readings of the switches"),
        findings=assessment.findings,
        names={code: str(words) for code, words in KIND.quantities.items()},
        log=False,
    )


KIND = Kind(
    code="power_stage_diodes",
    order=34,
    title=gettext_lazy("Diode check of a power stage"),
    purpose=gettext_lazy("Every switch of one stage forward and reversed, phase cables off. A record for each stage."),
    states=("bench", "dead"),
    unit="V",
    fields=(
        Choice(
            name="stage",
            label=gettext_lazy("Stage"),
            choices=STAGES,
            help=gettext_lazy("Two machines and a boost converter are fourteen switches: three records."),
        ),
        Choice(
            name="technology",
            setup=True,
            label=gettext_lazy("Switches of"),
            choices=(("silicon", gettext_lazy("silicon")), ("silicon_carbide", gettext_lazy("silicon carbide"))),
        ),
        *(
            Figure(
                name=f"{switch}_{way}_v",
                label=format_lazy("{}, {}", label, words),
                unit="V",
                required=False,
                low=0,
                high=10,
                may_be_bound=True,
                reading=True,
                help=gettext_lazy("OL where it is open.") if (switch, way) == ("u_upper", "forward") else "",
            )
            for switch, label in SWITCHES.items()
            for way, words in WAYS.items()
        ),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy("The link capacitor of a unit on the bench may still hold its charge: prove it discharged first."),
        gettext_lazy(
            "In the car only after absence of voltage is proved and with the battery side unplugged. Gloves on, never "
            "alone, the maker’s procedure first: some units must not be checked through their terminals."
        ),
    ),
    quantities={f"diode_{switch}": label for switch, label in SWITCHES.items()},
    bear_in_mind=(
        gettext_lazy("On silicon carbide OL forward is not “open”: the meter’s test voltage may be too low for it."),
    ),
)
