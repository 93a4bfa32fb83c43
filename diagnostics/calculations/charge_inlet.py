"""The charge inlet: what the look shows, its lock, its sensors, its earth, and the pilot's voltages."""

from collections.abc import Mapping, Sequence

from diagnostics.calculations import checks
from diagnostics.calculations.observations import assess_with_steps, observe
from diagnostics.calculations.verdicts import Assessment, Finding, Limit, choose_limit, judge

STATES = ("a", "b", "c")  # no vehicle, vehicle connected, vehicle takes charge; IEC 61851-1, from memory
PILOT_SOURCE = "IEC 61851-1, Annex A, from memory"
# From memory, hence a setting: whoever runs the portal confirms these ranges before they are given as limits.
PILOT_LIMITS = {
    state: (Limit(kind="range", value=low, upper=high, unit="V", source=PILOT_SOURCE, authority="standard"),)
    for state, low, high in (("a", 11.0, 13.0), ("b", 8.0, 10.0), ("c", 5.0, 7.0))
}
STEP_FOR_REASON = {
    "missing_look": "look_at_inlet",
    "missing_lock": "try_lock",
    "lock_does_not_hold": "stop_do_not_charge",
    "melted": "stop_do_not_charge",
}


def assess_charge_inlet(
    *,
    wear: Sequence[str] | None,
    lock_holds: bool | None,
    sensors_ohm: Mapping[str, float | None],
    earth_ohm: float | None,
    pilot_v: Mapping[str, float | None],
    sensor_uncertainty_ohm: float | None = None,
    earth_uncertainty_ohm: float | None = None,
    pilot_uncertainty_v: float | None = None,
    sensor_limits: Sequence[Limit] = (),
    earth_limits: Sequence[Limit] = (),
    pilot_limits: Mapping[str, Sequence[Limit]] | None = None,
    sensor_concerns: Sequence[str] = (),
    concerns: Sequence[str] = (),
    live_concerns: Sequence[str] = (),
) -> Assessment:
    """Return whether a charge inlet is whole, holds its plug, is earthed, and talks to the supply as it should.

    Formula: each reading against its own limit; of the earth the strictest limit counts. Wear, lock, sensors and earth
    are taken with the car dead, the pilot with it live.

    Parameters:
        wear [-], row of texts or None: what the look showed (melted, burnt_contact, corrosion, loose_contact, cracked
            or other codes); empty where nothing was found; None where nobody looked.
        lock_holds [-], truth value or None: the lock holds the plug; None where it was not tried.
        sensors_ohm [ohm], mapping of name to scalar or None: temperature sensors of the inlet at a known temperature.
        earth_ohm [ohm], scalar or None: earth contact to the body.
        pilot_v [V], mapping of a, b, c to scalar or None: positive level of the pilot in each state (12, 9, 6 V); a
            state that is not named is a missing reading.
        sensor_uncertainty_ohm [ohm], scalar or None: U (k = 2) of each sensor reading; None where it isn't known.
        earth_uncertainty_ohm [ohm], scalar or None: U (k = 2) of the earth reading.
        pilot_uncertainty_v [V], scalar or None: U (k = 2) of each pilot reading.
        sensor_limits [ohm], row of Limit: of each sensor at that temperature.
        earth_limits [ohm], row of Limit: of the earth.
        pilot_limits [V], mapping of a, b, c to row of Limit: ``PILOT_LIMITS`` once it was confirmed, or the maker's.
        sensor_concerns [-], row of texts: reason codes of the sensors only, before the others.
        concerns [-], row of texts: reason codes of what was taken dead.
        live_concerns [-], row of texts: reason codes of what was taken live.
    Returns:
        [-] an assessment with the findings inlet_wear, inlet_lock, inlet_sensor_<name> for each sensor, inlet_earth and
            pilot_state_a, pilot_state_b, pilot_state_c.
    Valid range: resistances from zero up. ``ValueError`` for anything else, and for a state that is not known.
    Example:
        >>> bonding = Limit(kind="maximum", value=0.1, unit="ohm", source="UN R100 5.1.2.2", authority="standard")
        >>> found = assess_charge_inlet(wear=[], lock_holds=True, sensors_ohm={}, earth_ohm=0.03,
        ...                             pilot_v={"a": 12.0, "b": 9.1, "c": 7.6}, earth_uncertainty_ohm=0.01,
        ...                             pilot_uncertainty_v=0.1, earth_limits=[bonding], pilot_limits=PILOT_LIMITS)
        >>> [finding.quantity for finding in found.findings if finding.verdict.value != "within"]
        ['pilot_state_c']

    Source: IEC 61851-1, Annex A, from memory; earth: UN R100 5.1.2.2, as quoted; the look: common practice, no source.
    """
    unknown = [state for state in (*pilot_v, *(pilot_limits or {})) if state not in STATES]
    if unknown:
        raise ValueError(f"The argument pilot_v must name the states a, b and c, but it names {unknown[0]!r}.")
    lock = None if lock_holds is None else ([] if lock_holds else ["lock_does_not_hold"])
    resistances = [
        (f"inlet_sensor_{name}", ohm, sensor_uncertainty_ohm, sensor_limits, (*sensor_concerns, *concerns))
        for name, ohm in sensors_ohm.items()
    ]
    resistances.append(("inlet_earth", earth_ohm, earth_uncertainty_ohm, earth_limits, tuple(concerns)))
    findings = [
        observe(quantity="inlet_wear", signs=wear, concerns=_with_missing("missing_look", wear is None, concerns)),
        observe(quantity="inlet_lock", signs=lock, concerns=_with_missing("missing_lock", lock is None, concerns)),
        *(_resistance(*one) for one in resistances),
        *(
            judge(
                quantity=f"pilot_state_{state}",
                value=pilot_v.get(state),
                unit="V",
                uncertainty=pilot_uncertainty_v,
                limit=choose_limit(limits=(pilot_limits or {}).get(state, ())),
                concerns=live_concerns,
            )
            for state in STATES
        ),
    ]
    return assess_with_steps(findings=findings, step_for_reason=STEP_FOR_REASON)


def _with_missing(code: str, missing: bool, concerns: Sequence[str]) -> tuple[str, ...]:
    """Put the code of what is missing before the other concerns."""
    return (code, *concerns) if missing else tuple(concerns)


def _resistance(
    quantity: str, ohm: float | None, uncertainty: float | None, limits: Sequence[Limit], concerns: Sequence[str]
) -> Finding:
    """Return the finding on a sensor or on the earth; of what bonds to the body the strictest limit counts."""
    return judge(
        quantity=quantity,
        value=None if ohm is None else checks.not_negative(name=quantity, value=ohm),
        unit="ohm",
        uncertainty=uncertainty,
        limit=choose_limit(limits=limits, strictest=quantity == "inlet_earth"),
        concerns=concerns,
    )
