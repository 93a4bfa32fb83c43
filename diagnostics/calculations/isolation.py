"""Isolation resistance between a vehicle's high-voltage system and its body, by two readings and a known resistor."""

from collections.abc import Sequence

from diagnostics.calculations import checks
from diagnostics.calculations.verdicts import (
    Assessment,
    Limit,
    assess,
    choose_limit,
    instrument_uncertainty,
    judge,
    propagate,
)

# UN R100 5.1.3.1 and 5.1.3.2, as quoted: an AC or combined system needs more, unless its AC parts are protected.
OHM_PER_VOLT = {"dc": 100.0, "ac": 500.0, "combined": 500.0, "combined_protected": 100.0}
SOURCE = "UN R100 5.1.3, as quoted"


def isolation_resistance_ohm(
    *,
    negative_to_body_v: float,
    positive_to_body_v: float,
    with_resistor_v: float,
    resistor_ohm: float,
    pole_to_pole_v: float | None = None,
) -> float:
    """Return the isolation resistance of the weaker side from the two-reading method with a known resistor.

    Formula: Ri = Ro Vb (1/V' - 1/V), with V the higher of the two voltages to body, V' the same with the resistor Ro
    between that pole and the body, and Vb the voltage between the poles: measured, or else the sum of the two.

    Parameters:
        negative_to_body_v [V], scalar: magnitude, negative pole to body.
        positive_to_body_v [V], scalar: magnitude, positive pole to body.
        with_resistor_v [V], scalar: the higher of the two again, the resistor on its side; a tie uses the negative one.
        resistor_ohm [ohm], scalar: the known resistor.
        pole_to_pole_v [V], scalar or None: measured voltage between the poles. With a 10 megohm meter the sum of the
            two readings understates it, and with it the result; the measured one makes the result exact.
    Returns:
        [ohm] the isolation resistance.
    Valid range: voltages from zero up and the higher above zero, the reading with the resistor above zero and below
        the higher one, resistor and voltage between the poles above zero; ``ValueError`` for anything else.
    Example:
        >>> round(isolation_resistance_ohm(negative_to_body_v=320, positive_to_body_v=80, with_resistor_v=228.5714,
        ...                                resistor_ohm=200e3))
        100000

    Source: UN R100 Annex, tested device as the DC source, steps 1 to 5 (points 1.2.3.4 and 1.2.3.5, read).
    """
    negative = checks.not_negative(name="negative_to_body_v", value=negative_to_body_v)
    positive = checks.not_negative(name="positive_to_body_v", value=positive_to_body_v)
    loaded = checks.positive(name="with_resistor_v", value=with_resistor_v)
    resistor = checks.positive(name="resistor_ohm", value=resistor_ohm)
    higher = max(negative, positive)
    if loaded >= higher:
        raise ValueError(
            f"The argument with_resistor_v must lie below the reading without the resistor, {higher!r} V, "
            f"but it is {with_resistor_v!r}."
        )
    between = negative + positive
    if pole_to_pole_v is not None:
        between = checks.positive(name="pole_to_pole_v", value=pole_to_pole_v)
    return checks.carried(name="isolation resistance", value=resistor * between * (1.0 / loaded - 1.0 / higher))


def minimum_ohm_per_volt(*, system: str) -> float:
    """Return the least isolation resistance for each volt of working voltage.

    Formula: a table: dc 100, ac 500, combined 500, combined_protected 100.

    Parameters:
        system [-], text: dc, ac, combined (DC and AC galvanically connected), or combined_protected (combined, with
            all AC buses in double insulation, barriers or mechanically robust housings).
    Returns:
        [ohm/V] the minimum.
    Valid range: the four systems; ``ValueError`` for anything else.
    Example:
        >>> minimum_ohm_per_volt(system="combined")
        500.0

    Source: UN R100 5.1.3.1 and 5.1.3.2, as quoted.
    """
    return OHM_PER_VOLT[checks.choice(name="system", value=system, allowed=tuple(OHM_PER_VOLT))]


def standard_limit(*, system: str, highest_working_v: float) -> Limit:
    """Return the limit that the standard sets for a system, by its highest working voltage, boost included.

    Formula: ohm per volt x highest working voltage.

    Parameters:
        system [-], text: as in ``minimum_ohm_per_volt``.
        highest_working_v [V], scalar: the highest working voltage anywhere in the system.
    Returns:
        [kilohm] a minimum of authority standard.
    Valid range: voltage above zero; ``ValueError`` for anything else.
    Example:
        >>> standard_limit(system="combined", highest_working_v=650).value
        325.0

    Source: UN R100 5.1.3, as quoted.
    """
    volts = checks.positive(name="highest_working_v", value=highest_working_v)
    kilohm = minimum_ohm_per_volt(system=system) * volts / 1000.0
    return Limit(kind="minimum", value=kilohm, unit="kilohm", source=SOURCE, authority="standard")


def assess_isolation(
    *,
    negative_to_body_v: float,
    positive_to_body_v: float,
    with_resistor_v: float,
    resistor_ohm: float,
    pole_to_pole_v: float | None,
    percent_of_reading: float | None,
    counts: float | None,
    resolution_v: float | None,
    resistor_tolerance_percent: float | None,
    limits: Sequence[Limit],
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return what the two-reading method says about the isolation of the vehicle.

    Formula: the result of ``isolation_resistance_ohm`` in kilohm against the strictest of all limits; its uncertainty
    to first order: the meter's gain is shared by all readings and cancels, its counts and the resistor's tolerance
    are independent. A dead short shows no drop with the resistor: then the result is a bound, "at most".

    Parameters:
        negative_to_body_v [V], scalar: as in ``isolation_resistance_ohm``.
        positive_to_body_v [V], scalar: likewise.
        with_resistor_v [V], scalar: likewise.
        resistor_ohm [ohm], scalar: likewise.
        pole_to_pole_v [V], scalar or None: likewise.
        percent_of_reading [%], scalar or None: accuracy of the meter; None where it isn't known.
        counts [-], scalar or None: likewise.
        resolution_v [V], scalar or None: likewise.
        resistor_tolerance_percent [%], scalar or None: tolerance of the known resistor.
        limits [kilohm], row of Limit: minimum; the strictest counts, whoever gave it.
        concerns [-], row of texts: reason codes that the record adds.
    Returns:
        [-] the finding isolation_resistance [kilohm]; the next step measure_pole_to_pole where that voltage is missing.
    Valid range: as ``isolation_resistance_ohm``; accuracies from zero up; ``ValueError`` for anything else.
    Example:
        >>> assess_isolation(
        ...     negative_to_body_v=100.8, positive_to_body_v=100.8, with_resistor_v=9.2302, resistor_ohm=100.8e3,
        ...     pole_to_pole_v=201.6, percent_of_reading=0.1, counts=3, resolution_v=0.01,
        ...     resistor_tolerance_percent=1.0, limits=[standard_limit(system="combined", highest_working_v=650)],
        ... ).verdict.value
        'within'

    Source: UN R100 Annex and 5.1.3, as quoted; uncertainty: JCGM 100:2008 (GUM), 5.1.2 and 5.2.2, from memory.
    """
    higher = max(
        checks.not_negative(name="negative_to_body_v", value=negative_to_body_v),
        checks.not_negative(name="positive_to_body_v", value=positive_to_body_v),
    )
    meter_v = None
    if percent_of_reading is not None and counts is not None and resolution_v is not None:
        meter_v = instrument_uncertainty(
            reading=higher, percent_of_reading=percent_of_reading, counts=counts, resolution=resolution_v
        )
    bound = None
    if higher <= checks.positive(name="with_resistor_v", value=with_resistor_v) <= higher + (meter_v or 0.0):
        # No drop that the meter could show: the weaker side is at most what a drop of its uncertainty would give.
        bound, with_resistor_v = "at_most", higher - (meter_v or 0.001 * higher)
    value = isolation_resistance_ohm(
        negative_to_body_v=negative_to_body_v,
        positive_to_body_v=positive_to_body_v,
        with_resistor_v=with_resistor_v,
        resistor_ohm=resistor_ohm,
        pole_to_pole_v=pole_to_pole_v,
    )
    uncertainty = None
    if None not in (percent_of_reading, counts, resolution_v, resistor_tolerance_percent):
        uncertainty = _uncertainty_ohm(
            value,
            (float(negative_to_body_v), float(positive_to_body_v), float(with_resistor_v)),
            float(resistor_ohm),
            pole_to_pole_v,
            (percent_of_reading or 0.0, (counts or 0.0) * (resolution_v or 0.0), resistor_tolerance_percent or 0.0),
        )
    finding = judge(
        quantity="isolation_resistance",
        value=value / 1000.0,
        unit="kilohm",
        uncertainty=None if uncertainty is None else uncertainty / 1000.0,
        limit=choose_limit(limits=limits, strictest=True),
        concerns=tuple(concerns),
        bound=bound,
    )
    return assess(findings=[finding], next_steps=() if pole_to_pole_v is not None else ("measure_pole_to_pole",))


def _uncertainty_ohm(
    value: float,
    volts: tuple[float, float, float],
    resistor: float,
    pole_to_pole: float | None,
    accuracy: tuple[float, float, float],
) -> float:
    """Return U of the result: counts of each reading and the resistor apart, the meter's gain once for all of them."""
    percent, digits, tolerance = (checks.not_negative(name="accuracy", value=one) for one in accuracy)
    negative, positive, loaded = volts
    higher = max(negative, positive)
    between = negative + positive if pole_to_pole is None else float(pole_to_pole)
    by_between, by_loaded = value / between, -resistor * between / loaded**2
    by_higher = resistor * between / higher**2
    if pole_to_pole is None:
        # Vb is the sum: its readings carry their counts into it, the higher one twice over.
        independent = [(by_higher + by_between) * digits, by_between * digits, by_loaded * digits]
    else:
        independent = [by_higher * digits, by_between * digits, by_loaded * digits]
    gain = [
        by_between * between * percent / 100,
        by_loaded * loaded * percent / 100,
        by_higher * higher * percent / 100,
    ]
    return propagate(contributions=[*independent, value * tolerance / 100.0], shared=[gain])
