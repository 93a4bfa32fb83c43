"""The 12 V supply that the DC-DC converter gives, once the 12 V battery itself is known to be good."""

from collections.abc import Mapping, Sequence

from diagnostics.calculations import checks
from diagnostics.calculations.observations import assess_with_steps
from diagnostics.calculations.verdicts import Assessment, Finding, Limit, Verdict, choose_limit, judge

STEP_FOR_REASON = {
    "battery_first": "test_12v_battery_first",
    "smart_control": "measure_under_load",
    "missing_load_current": "measure_load_current",
}
QUANTITIES = ("rest", "idle", "loaded", "lead_drop", "ripple")


def assess_dc_supply(
    *,
    rest_v: float | None,
    idle_v: float | None,
    loaded_v: float | None,
    load_a: float | None,
    lead_drop_v: float | None = None,
    ripple_v: float | None = None,
    smart_control: bool = False,
    uncertainties_v: Mapping[str, float | None] | None = None,
    limits: Mapping[str, Sequence[Limit]] | None = None,
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return whether the converter holds the 12 V supply, idle and under load.

    Formula: each voltage is judged against its own limit. The battery at rest comes first: unless it is within its
    limit, nothing is proved about the converter (concern battery_first). A converter under smart control may hold a low
    voltage on purpose, so that its idle voltage proves nothing (concern smart_control).

    Parameters:
        rest_v [V], scalar or None: 12 V battery at rest, converter off; None where it was not read.
        idle_v [V], scalar or None: converter on, no load switched on.
        loaded_v [V], scalar or None: converter on, loads switched on.
        load_a [A], scalar or None: current of those loads; without it the loaded voltage proves nothing.
        lead_drop_v [V], scalar or None: lost between converter and battery, both leads.
        ripple_v [V], scalar or None: alternating part, peak to peak.
        smart_control [-], truth value: the car varies its supply voltage.
        uncertainties_v [V], mapping of rest, idle, loaded, lead_drop, ripple to scalar or None: U (k = 2) of each.
        limits [V], mapping of the same names to row of Limit: the maker's and others.
        concerns [-], row of texts: reason codes that the record adds.
    Returns:
        [-] an assessment with the findings supply_rest, supply_idle, supply_loaded, and supply_lead_drop and
            supply_ripple where there is a reading or a limit of them.
    Valid range: rest, idle, loaded and load from zero up, the drop of either sign. ``ValueError`` for anything else,
        and for a name that is not known.
    Example:
        >>> maker = Limit(kind="minimum", value=13.0, unit="V", source="maker's sheet", authority="maker")
        >>> battery = Limit(kind="minimum", value=12.2, unit="V", source="maker's sheet", authority="maker")
        >>> found = assess_dc_supply(rest_v=11.4, idle_v=14.1, loaded_v=13.8, load_a=40.0,
        ...                          uncertainties_v={"rest": 0.05, "idle": 0.05, "loaded": 0.05},
        ...                          limits={"rest": [battery], "idle": [maker], "loaded": [maker]})
        >>> [finding.verdict.value for finding in found.findings], found.next_steps[0]
        (['outside', 'unproven', 'unproven'], 'test_12v_battery_first')

    Source: common practice, no source.
    """
    bounds, given = uncertainties_v or {}, limits or {}
    for argument, names in (("uncertainties_v", bounds), ("limits", given)):
        for name in names:
            checks.choice(name=argument, value=name, allowed=QUANTITIES)
    readings = {
        "rest": rest_v if rest_v is None else checks.not_negative(name="rest_v", value=rest_v),
        "idle": idle_v if idle_v is None else checks.not_negative(name="idle_v", value=idle_v),
        "loaded": loaded_v if loaded_v is None else checks.not_negative(name="loaded_v", value=loaded_v),
        "lead_drop": lead_drop_v if lead_drop_v is None else checks.number(name="lead_drop_v", value=lead_drop_v),
        "ripple": ripple_v if ripple_v is None else checks.not_negative(name="ripple_v", value=ripple_v),
    }
    if load_a is not None:
        checks.not_negative(name="load_a", value=load_a)
    own = {
        "idle": ["smart_control"] if smart_control else [],
        "loaded": ["missing_load_current"] if load_a is None else [],
    }

    def finding(name: str, first: Sequence[str]) -> Finding:
        """Judge one of the voltages."""
        return judge(
            quantity=f"supply_{name}",
            value=readings[name],
            unit="V",
            uncertainty=bounds.get(name),
            limit=choose_limit(limits=given.get(name, ())),
            concerns=(*first, *own.get(name, []), *concerns),
        )

    battery = finding("rest", [])
    doubt = [] if battery.verdict is Verdict.WITHIN else ["battery_first"]
    asked = ["idle", "loaded", *(name for name in QUANTITIES[3:] if readings[name] is not None or given.get(name))]
    return assess_with_steps(
        findings=[battery, *(finding(name, doubt) for name in asked)], step_for_reason=STEP_FOR_REASON
    )
