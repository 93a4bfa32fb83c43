"""Isolation by consumer: a reading with all of them connected, then one more after each that is unplugged."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.isolation import standard_limit
from diagnostics.calculations.isolation_by_consumer import CONSUMERS, IsolationReading, assess_isolation_by_consumer
from diagnostics.calculations.verdicts import Assessment, Limit
from diagnostics.finding_chart import against_limit
from diagnostics.kind import Family, Figure, Kind, Reading, Text

NAMES = dict(
    zip(
        CONSUMERS,
        (
            gettext_lazy("Without the cabin compressor"),
            gettext_lazy("Without the heater"),
            gettext_lazy("Without the charger"),
            gettext_lazy("Without the DC-DC converter"),
            gettext_lazy("Without the machine"),
            gettext_lazy("Without the inverter"),
            gettext_lazy("Without the other one named above"),
        ),
        strict=True,
    )
)


def one_reading(reading: Reading, name: str) -> IsolationReading:
    megohm, spread = reading.figure(name), reading.spread(name)
    return IsolationReading(
        kilohm=None if megohm is None else 1000 * megohm,
        uncertainty_kilohm=None if spread is None else 1000 * spread,
        bound=reading.bound(name),
    )


def assess(reading: Reading) -> Assessment:
    return assess_isolation_by_consumer(
        all_connected=one_reading(reading, "all_connected_megohm"),
        unplugged=[
            (name, one_reading(reading, f"without_{name}_megohm"))
            for name in CONSUMERS
            if reading.figure(f"without_{name}_megohm") is not None
        ],
        limits=reading.limits_for("isolation_resistance"),
        concerns=reading.concerns,
    )


def chart(reading: Reading, assessment: Assessment) -> Any:
    return against_limit(
        key="isolation_by_consumer",
        title=_("Isolation as one consumer after the other is unplugged"),
        findings=assessment.findings,
        names={code: str(words) for code, words in KIND.quantities.items()},
        log=True,
    )


def general_limits(family: Family | None) -> Mapping[str, tuple[Limit, ...]]:
    """The same minimum as for the whole vehicle: 500 ohm for each volt of the highest working voltage."""
    if family is None:
        return {}
    return {"isolation_resistance": (standard_limit(system="combined", highest_working_v=family.highest_working_v),)}


KIND = Kind(
    code="isolation_by_consumer",
    order=12,
    title=gettext_lazy("Isolation by consumer"),
    purpose=gettext_lazy("One consumer after the other unplugged and left so: the one that brings it back is found."),
    states=("dead",),
    unit="megohm",
    fields=(
        Figure(
            name="all_connected_megohm",
            label=gettext_lazy("All connected"),
            unit="megohm",
            low=0,
            high=1e6,
            may_be_bound=True,
            reading=True,
            help=gettext_lazy("High-voltage wiring against the body; as displayed, also > 550 or OL."),
        ),
        Text(
            name="other_name",
            label=gettext_lazy("Another consumer of this car"),
            required=False,
            help=gettext_lazy("For instance: second compressor, battery heater, coolant pump"),
        ),
        *(
            Figure(
                name=f"without_{name}_megohm",
                label=label,
                unit="megohm",
                required=False,
                low=0,
                high=1e6,
                may_be_bound=True,
                reading=True,
                help=gettext_lazy("Unplugged in this order, and left unplugged; skip what the car hasn’t.")
                if name == CONSUMERS[0]
                else "",
            )
            for name, label in NAMES.items()
        ),
    ),
    assess=assess,
    chart=chart,
    cautions=(
        gettext_lazy("Only after absence of voltage is proved; each connector that is opened needs a new proof."),
        gettext_lazy(
            "The tester itself makes high voltage: never on a battery or on electronics without the maker’s consent, "
            "and at no higher test voltage than the maker names. Gloves on, never alone. The battery pack stays live."
        ),
    ),
    quantities={
        "isolation_all_connected": gettext_lazy("All connected"),
        **{f"isolation_without_{name}": label for name, label in NAMES.items()},
        "isolation_resistance": gettext_lazy("Isolation"),
    },
    limitable={"isolation_resistance": ("minimum", "kilohm")},
    general_limits=general_limits,
    bear_in_mind=(
        gettext_lazy("Usual leaks: compressor, heater, and coolant that has found its way into a connector."),
    ),
)
