"""Position sensor of a machine: resistance of its three coils, sine against cosine, and insulation to the body.

Codes that ``assess_position_sensor`` adds to those of ``verdicts``:

==========================  =========================================================================
reason                      meaning
==========================  =========================================================================
missing_coil_out_of_range   sine or cosine is a bound, so their difference has no figure
next step                   meaning
learn_offset_after_fitting  the sensor's offset must be learnt after fitting
==========================  =========================================================================
"""

from collections.abc import Mapping, Sequence

from diagnostics.calculations import balance, checks
from diagnostics.calculations.verdicts import (
    Assessment,
    Finding,
    Limit,
    assess,
    choose_limit,
    judge,
    propagate,
    reading_uncertainty,
)

COILS = ("exciter", "sine", "cosine")


def difference_percent(*, sine_ohm: float, cosine_ohm: float) -> float:
    """Return how far the sine coil's resistance and the cosine coil's differ, in percent of their mean.

    Formula: 100 x abs(Rs - Rc) / ((Rs + Rc) / 2).

    Parameters:
        sine_ohm [ohm], scalar: sine coil.
        cosine_ohm [ohm], scalar: cosine coil.
    Returns:
        [%] the difference.
    Valid range: resistances from zero up, not both zero. ``ValueError`` for anything else.
    Example:
        >>> difference_percent(sine_ohm=21.0, cosine_ohm=19.0)
        10.0

    Source: arithmetic; that the two are compared: common practice, no source.
    """
    return balance.spread_percent(
        values=[
            checks.not_negative(name="sine_ohm", value=sine_ohm),
            checks.not_negative(name="cosine_ohm", value=cosine_ohm),
        ]
    )


def assess_position_sensor(
    *,
    coils_ohm: Mapping[str, float | None],
    percent_of_reading: float | None,
    counts: float | None,
    resolution_ohm: float | None,
    coil_bounds: Mapping[str, str | None] | None = None,
    coil_limits: Mapping[str, Sequence[Limit]] | None = None,
    difference_limits: Sequence[Limit] = (),
    to_body_megohm: Mapping[str, float | None],
    to_body_uncertainty_percent: float | None,
    to_body_bounds: Mapping[str, str | None] | None = None,
    to_body_limits: Sequence[Limit] = (),
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return what the resistances of a position sensor prove.

    Formula: each coil and each coil's insulation against its limit; sine and cosine against each other by
    ``difference_percent``, U = 100 x 4 sqrt(Rs^2 + Rc^2) u / (Rs + Rc)^2 with u = counts x resolution; one meter reads
    both, so its gain cancels.

    Parameters:
        coils_ohm [ohm], mapping: exciter, sine, cosine; None, or not there, where one is missing.
        percent_of_reading [%], scalar or None: the "% of reading" of the ohmmeter.
        counts [-], scalar or None: its "+ digits".
        resolution_ohm [ohm], scalar or None: what its last digit is worth.
        coil_bounds [-], mapping or None: at_least ("OL") or at_most by coil.
        coil_limits [ohm], mapping or None: rows of Limit by coil; the maker's.
        difference_limits [%], row of Limit: for sine_cosine_difference.
        to_body_megohm [megohm], mapping: insulation by coil; None, or not there, where one is missing.
        to_body_uncertainty_percent [%], scalar or None: U of the insulation tester in percent of its reading.
        to_body_bounds [-], mapping or None: at_least or at_most by coil.
        to_body_limits [megohm], row of Limit: minimum for every coil.
        concerns [-], row of texts: reason codes given by the caller.
    Returns:
        [ohm, % and megohm] findings <coil>_resistance, sine_cosine_difference and <coil>_to_body.
    Valid range: readings from zero up; no other coils. ``ValueError`` for anything else.
    Example:
        >>> found = assess_position_sensor(coils_ohm={"exciter": 12.0, "sine": 30.0, "cosine": 31.0},
        ...     percent_of_reading=0.5, counts=2, resolution_ohm=0.01, to_body_megohm={},
        ...     to_body_uncertainty_percent=3.0)
        >>> found.verdict.value, [finding.reason for finding in found.findings[3:5]]
        ('unproven', ['no_limit', 'missing'])

    Source: first-order propagation (JCGM 100:2008, 5.1.2, from memory); the rules are the project's own.
    """
    bounds, body_bounds, own = coil_bounds or {}, to_body_bounds or {}, coil_limits or {}
    for name in (*coils_ohm, *bounds, *own, *to_body_megohm, *body_bounds):
        checks.choice(name="coil", value=name, allowed=COILS)
    accuracy = (percent_of_reading, counts, resolution_ohm)
    findings = [
        _coil(name, coils_ohm.get(name), accuracy, bounds.get(name), own.get(name, ()), concerns) for name in COILS
    ]
    findings.append(_difference(coils_ohm, accuracy, bounds, difference_limits, concerns))
    findings += [
        _coil_to_body(
            name, to_body_megohm.get(name), to_body_uncertainty_percent, body_bounds.get(name), to_body_limits, concerns
        )
        for name in COILS
    ]
    return assess(findings=findings, next_steps=("learn_offset_after_fitting",))


def _coil(
    name: str,
    ohm: float | None,
    accuracy: tuple[float | None, float | None, float | None],
    bound: str | None,
    limits: Sequence[Limit],
    concerns: Sequence[str],
) -> Finding:
    """Judge the resistance of one coil."""
    value = None if ohm is None else checks.not_negative(name=f"{name}_ohm", value=ohm)
    percent, counts, resolution = accuracy
    uncertainty = reading_uncertainty(
        reading=value or 0.0, percent_of_reading=percent, counts=counts, resolution=resolution
    )
    return judge(
        quantity=f"{name}_resistance",
        value=value,
        unit="ohm",
        uncertainty=uncertainty,
        limit=choose_limit(limits=limits),
        concerns=concerns,
        bound=bound,
    )


def _difference(
    coils_ohm: Mapping[str, float | None],
    accuracy: tuple[float | None, float | None, float | None],
    bounds: Mapping[str, str | None],
    limits: Sequence[Limit],
    concerns: Sequence[str],
) -> Finding:
    """Judge sine against cosine, which a bound lets have no figure."""
    sine, cosine = coils_ohm.get("sine"), coils_ohm.get("cosine")
    bounded = bounds.get("sine") is not None or bounds.get("cosine") is not None
    value = uncertainty = None
    if sine is not None and cosine is not None and not bounded:
        value = difference_percent(sine_ohm=sine, cosine_ohm=cosine)
        percent, counts, resolution = accuracy
        digits = reading_uncertainty(reading=0.0, percent_of_reading=percent, counts=counts, resolution=resolution)
        if digits is not None:
            slope = 400.0 * digits / (sine + cosine) ** 2
            uncertainty = propagate(contributions=[slope * cosine, slope * sine])
    return judge(
        quantity="sine_cosine_difference",
        value=value,
        unit="%",
        uncertainty=uncertainty,
        limit=choose_limit(limits=limits),
        concerns=[*concerns, *(["missing_coil_out_of_range"] if bounded else [])],
    )


def _coil_to_body(
    name: str,
    megohm: float | None,
    uncertainty_percent: float | None,
    bound: str | None,
    limits: Sequence[Limit],
    concerns: Sequence[str],
) -> Finding:
    """Judge the insulation of one coil to the body."""
    value = None if megohm is None else checks.not_negative(name=f"{name}_to_body_megohm", value=megohm)
    return judge(
        quantity=f"{name}_to_body",
        value=value,
        unit="megohm",
        uncertainty=reading_uncertainty(
            reading=value or 0.0, percent_of_reading=uncertainty_percent, counts=0.0, resolution=0.0
        ),
        limit=choose_limit(limits=limits),
        concerns=concerns,
        bound=bound,
    )
