"""Resistance of the windings of a machine: temperature, phases, unbalance, and what a record of them proves.

Codes that ``assess_windings`` adds to those of ``verdicts``:

===================================  =====================================================================
reason                               meaning
===================================  =====================================================================
missing_lead_resistance              the test leads were not shorted and read; four wires count as 0
missing_temperature                  the winding's temperature is not there, so nothing refers to 20 C
missing_pair_out_of_range            a pair is open or below the range: it is a bound, unbalance has no figure
missing_resistance_above_leads       a pair reads no more than the test leads alone
next step                            meaning
shorted_turn_not_excluded            one shorted turn in forty moves unbalance by 0.8 % only
compare_inductance_curves            inductance over rotor position finds it
measure_back_voltage                 so does the voltage of the turned machine (permanent magnets)
look_for_open_winding                a pair reads "at least"
===================================  =====================================================================
"""

from collections.abc import Sequence
from dataclasses import dataclass

from diagnostics.calculations import balance, checks
from diagnostics.calculations.verdicts import (
    Assessment,
    Finding,
    Limit,
    assess,
    choose_limit,
    judge,
    propagate,
)

COPPER_K = 234.5  # degrees Celsius below zero at which copper's resistance extrapolates to nothing; IEEE 112 as quoted
REFERENCE_C = 20.0  # degrees Celsius; common practice, no source
CONNECTIONS = ("wye", "delta")
DEFINITIONS = ("from_mean", "spread")
MACHINES = ("permanent_magnet", "induction", "wound_rotor")


@dataclass(frozen=True, kw_only=True)
class PhaseResistances:
    """The resistance of each phase, found from the three pairs.

    Fields:
        a_ohm [ohm], scalar: phase a; in delta the winding between a and b.
        b_ohm [ohm], scalar: phase b; in delta the winding between b and c.
        c_ohm [ohm], scalar: phase c; in delta the winding between c and a.
    Valid range: made by ``phase_resistances``; nothing is checked here.
    Example:
        >>> PhaseResistances(a_ohm=0.1, b_ohm=0.1, c_ohm=0.1).a_ohm
        0.1

    Source: the project's own rule.
    """

    a_ohm: float
    b_ohm: float
    c_ohm: float


def resistance_at(
    *, resistance_ohm: float, measured_c: float, reference_c: float = REFERENCE_C, constant_k: float = COPPER_K
) -> float:
    """Return the resistance that a winding has at the reference temperature.

    Formula: R2 = R1 x (k + T2) / (k + T1).

    Parameters:
        resistance_ohm [ohm], scalar: as measured.
        measured_c [degrees Celsius], scalar: temperature of the winding when it was measured.
        reference_c [degrees Celsius], scalar: temperature to refer to.
        constant_k [degrees Celsius], scalar: 234.5 copper (235 by IEC 60034-1), 225 aluminium.
    Returns:
        [ohm] the resistance at the reference temperature.
    Valid range: resistance from zero up, both temperatures above -k and not below absolute zero. ``ValueError`` for
        anything else.
    Example:
        >>> round(resistance_at(resistance_ohm=0.1, measured_c=20, reference_c=75), 6)
        0.121611

    Source: IEEE 112 and 118, as quoted; the figure is reference example 3.3.
    """
    resistance = checks.not_negative(name="resistance_ohm", value=resistance_ohm)
    k = checks.positive(name="constant_k", value=constant_k)
    ratio = _above_k("reference_c", reference_c, k) / _above_k("measured_c", measured_c, k)
    return checks.carried(name="resistance_ohm", value=resistance * ratio)


def temperature_from_resistance(
    *, cold_ohm: float, cold_c: float, hot_ohm: float, constant_k: float = COPPER_K
) -> float:
    """Return the mean temperature of a winding from its resistance hot and cold.

    Formula: T2 = (R2 / R1)(k + T1) - k.

    Parameters:
        cold_ohm [ohm], scalar: resistance at the known temperature.
        cold_c [degrees Celsius], scalar: the known temperature.
        hot_ohm [ohm], scalar: resistance at the temperature looked for.
        constant_k [degrees Celsius], scalar: 234.5 copper (235 by IEC 60034-1), 225 aluminium.
    Returns:
        [degrees Celsius] the temperature looked for.
    Valid range: resistances above zero, cold_c above -k and not below absolute zero. ``ValueError`` for anything else.
    Example:
        >>> temperature_from_resistance(cold_ohm=80, cold_c=20, hot_ohm=100)
        83.625

    Source: physicsforums.com thread 381286 (prints 83.63), reference example 3.1.
    """
    cold = checks.positive(name="cold_ohm", value=cold_ohm)
    hot = checks.positive(name="hot_ohm", value=hot_ohm)
    k = checks.positive(name="constant_k", value=constant_k)
    found = checks.carried(name="temperature_c", value=hot / cold * _above_k("cold_c", cold_c, k) - k)
    return checks.celsius(name="temperature that results from constant_k", value=found)


def phase_resistances(*, ab_ohm: float, bc_ohm: float, ca_ohm: float, connection: str = "wye") -> PhaseResistances:
    """Return the resistance of each phase from the resistance of the three pairs of terminals.

    Formula: wye: Ra = (Rab + Rca - Rbc) / 2 and cyclic. Delta: from those, R between a and b = (Ra Rb + Rb Rc + Rc Ra)
    / Rc and cyclic; each pair reads one winding with the other two in series beside it.

    Parameters:
        ab_ohm [ohm], scalar: between a and b.
        bc_ohm [ohm], scalar: between b and c.
        ca_ohm [ohm], scalar: between c and a.
        connection [-], text: wye or delta.
    Returns:
        [ohm] the three phases; in delta a is the winding between a and b, b between b and c, c between c and a.
    Valid range: readings above zero that three resistances can give: no pair above the sum of the other two, and in
        delta below it. ``ValueError`` for anything else.
    Example:
        >>> found = phase_resistances(ab_ohm=0.2450, bc_ohm=0.2472, ca_ohm=0.2515)
        >>> round(found.a_ohm, 5), round(found.b_ohm, 5), round(found.c_ohm, 5)
        (0.12465, 0.12035, 0.12685)

    Source: algebra (from memory); the figures are reference example 3.4.
    """
    checks.choice(name="connection", value=connection, allowed=CONNECTIONS)
    ab = checks.positive(name="ab_ohm", value=ab_ohm)
    bc = checks.positive(name="bc_ohm", value=bc_ohm)
    ca = checks.positive(name="ca_ohm", value=ca_ohm)
    a = _star_arm("bc_ohm", bc, ab, ca)
    b = _star_arm("ca_ohm", ca, ab, bc)
    c = _star_arm("ab_ohm", ab, bc, ca)
    if connection == "wye":
        return PhaseResistances(a_ohm=a, b_ohm=b, c_ohm=c)
    for name, pair, arm in (("bc_ohm", bc, a), ("ca_ohm", ca, b), ("ab_ohm", ab, c)):
        if arm == 0.0:
            raise ValueError(
                f"The argument {name} must be below the sum of the other two in delta, but it is {pair!r}."
            )
    return PhaseResistances(a_ohm=a + b + a / c * b, b_ohm=b + c + b / a * c, c_ohm=c + a + c / b * a)


def unbalance_percent(*, values_ohm: checks.Row, definition: str = "from_mean") -> float:
    """Return how far the pairs of a winding differ from each other.

    Formula: from_mean: 100 x max|R_i - mean| / mean; spread: 100 x (max - min) / mean, about twice as big.

    Parameters:
        values_ohm [ohm], row of two or more: the readings.
        definition [-], text: from_mean or spread.
    Returns:
        [%] the unbalance.
    Valid range: readings from zero up, not all of them zero. ``ValueError`` for anything else.
    Example:
        >>> round(unbalance_percent(values_ohm=[0.2450, 0.2472, 0.2515], definition="spread"), 3)
        2.622

    Source: reference example 3.4, computed from the formulas.
    """
    checks.choice(name="definition", value=definition, allowed=DEFINITIONS)
    values = checks.row(name="values_ohm", values=values_ohm, at_least=2)
    return (
        balance.from_mean_percent(values=values) if definition == "from_mean" else balance.spread_percent(values=values)
    )


def unbalance_uncertainty_percent(
    *, values_ohm: checks.Row, percent_of_reading: float, counts: float, resolution_ohm: float
) -> float:
    """Return the uncertainty of the unbalance (from_mean) where one instrument read all pairs.

    Formula: 100 (counts x resolution) / mean x sqrt((1 - q/n)^2 + (n - 1)(q/n)^2), q = farthest reading / mean. The
    percent of reading is a gain that all readings share; it cancels.

    Parameters:
        values_ohm [ohm], row of two or more: the readings.
        percent_of_reading [%], scalar: the "% of reading" of the data sheet; checked, and without influence.
        counts [-], scalar: the "+ digits" of the data sheet.
        resolution_ohm [ohm], scalar: what the last digit is worth.
    Returns:
        [%] U of the unbalance, in percent points.
    Valid range: readings from zero up, not all of them zero; the others from zero up. ``ValueError`` for anything else.
    Example:
        >>> round(unbalance_uncertainty_percent(values_ohm=[0.1, 0.1, 0.1], percent_of_reading=0.5, counts=3,
        ...                                     resolution_ohm=0.0001), 4)
        0.2449

    Source: first-order propagation (JCGM 100:2008, 5.1.2, from memory).
    """
    values = checks.row(name="values_ohm", values=values_ohm, at_least=2)
    checks.not_negative(name="percent_of_reading", value=percent_of_reading)
    return balance.from_mean_uncertainty_percent(values=values, counts=counts, resolution=resolution_ohm)


def assess_windings(
    *,
    pairs_ohm: Sequence[float | None],
    leads_ohm: float | None,
    measured_c: float | None,
    percent_of_reading: float | None,
    counts: float | None,
    resolution_ohm: float | None,
    machine: str = "permanent_magnet",
    constant_k: float = COPPER_K,
    bounds: Sequence[str | None] = (),
    unbalance_limits: Sequence[Limit] = (),
    resistance_limits: Sequence[Limit] = (),
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return what the resistances of the three pairs of terminals prove.

    Formula: net = pair - leads, referred to 20 C by ``resistance_at``; unbalance from the mean with the shared gain
    cancelled; resistance is the mean of the pairs. The leads' own counts shift all pairs alike.

    Parameters:
        pairs_ohm [ohm], row of three: UV, VW, WU as read, leads included; None where one is missing.
        leads_ohm [ohm], scalar or None: test leads shorted; 0 for four wires; None where they were not read.
        measured_c [degrees Celsius], scalar or None: temperature of the winding.
        percent_of_reading [%], scalar or None: the "% of reading" of the data sheet.
        counts [-], scalar or None: the "+ digits" of the data sheet.
        resolution_ohm [ohm], scalar or None: what the last digit is worth.
        machine [-], text: permanent_magnet, induction or wound_rotor.
        constant_k [degrees Celsius], scalar: 234.5 copper, 225 aluminium.
        bounds [-], row of three or empty: at_least ("OL"), at_most or None for each pair.
        unbalance_limits [%], row of Limit: for winding_unbalance; none is published for every winding.
        resistance_limits [ohm], row of Limit: for winding_resistance at 20 C, terminal to terminal; the maker's.
        concerns [-], row of texts: reason codes given by the caller.
    Returns:
        [% and ohm] findings winding_unbalance and winding_resistance; unproven without a limit.
    Valid range: as the functions above; bounds as many as pairs. ``ValueError`` for anything else.
    Example:
        >>> two = Limit(kind="maximum", value=2.0, unit="%", source="maker's manual, edition 4", authority="maker")
        >>> found = assess_windings(pairs_ohm=[0.2950, 0.2972, 0.3015], leads_ohm=0.05, measured_c=20.0,
        ...     percent_of_reading=0.5, counts=2, resolution_ohm=0.0001, unbalance_limits=[two])
        >>> found.findings[0].verdict.value, round(found.findings[0].value, 3), found.verdict.value
        ('within', 1.452, 'unproven')

    Source: the readings are those of reference example 3.4 with 0.05 ohm of leads; the rules are the project's own.
    """
    checks.choice(name="machine", value=machine, allowed=MACHINES)
    if len(pairs_ohm) != 3 or len(bounds) not in (0, 3):
        raise ValueError(
            f"The arguments pairs_ohm and bounds must hold three each, but they are {pairs_ohm!r} and {bounds!r}."
        )
    told = list(concerns) + (["missing_lead_resistance"] if leads_ohm is None else [])
    read = [checks.not_negative(name="pairs_ohm", value=pair) for pair in pairs_ohm if pair is not None]
    leads = checks.not_negative(name="leads_ohm", value=0.0 if leads_ohm is None else leads_ohm)
    net = [pair - leads for pair in read] if len(read) == 3 and min(read) > leads else None
    gone = ["missing_resistance_above_leads"] if len(read) == 3 and net is None else []
    bound = _one_bound(bounds)
    accuracy = _accuracy(percent_of_reading, counts, resolution_ohm)
    findings = (
        _unbalance(net, accuracy, unbalance_limits, told + gone, bound),
        _resistance(net, accuracy, measured_c, constant_k, resistance_limits, told + gone, bound),
    )
    steps = ["look_for_open_winding"] if "at_least" in bounds else []
    steps += ["shorted_turn_not_excluded", "compare_inductance_curves"]
    return assess(findings=findings, next_steps=steps + ["measure_back_voltage"] * (machine == "permanent_magnet"))


def _above_k(name: str, temperature_c: float, k: float) -> float:
    """Return k + T, which the formulas divide by, so it has to be above zero."""
    total = k + checks.celsius(name=name, value=temperature_c)
    if total <= 0.0:
        raise ValueError(f"The argument {name} must be above {-k!r}, but it is {temperature_c!r}.")
    return total


def _star_arm(name: str, opposite: float, first: float, second: float) -> float:
    """Return one arm of the star; rounding may leave less than nothing of an arm that is nothing."""
    arm = (first - opposite + second) / 2.0
    if arm < -1e-12 * opposite:
        raise ValueError(
            f"The argument {name} must not be above the sum of the other two pairs, but it is {opposite!r}."
        )
    return max(arm, 0.0)


def _accuracy(percent: float | None, counts: float | None, resolution: float | None) -> tuple[float, float] | None:
    """Return gain (as a part of one) and digits (in ohm) of the instrument, or None where they aren't known."""
    if percent is None or counts is None or resolution is None:
        return None
    gain = checks.not_negative(name="percent_of_reading", value=percent) / 100.0
    digits = checks.not_negative(name="counts", value=counts)
    return gain, digits * checks.not_negative(name="resolution_ohm", value=resolution)


def _one_bound(bounds: Sequence[str | None]) -> str | None:
    """Return the bound that the mean of the pairs has: that of its bounded pairs, "both" where they disagree."""
    kinds = {bound for bound in bounds if bound is not None}
    for kind in kinds:
        checks.choice(name="bounds", value=kind, allowed=("at_least", "at_most"))
    return "both" if len(kinds) > 1 else next(iter(kinds), None)


def _unbalance(
    net: list[float] | None,
    accuracy: tuple[float, float] | None,
    limits: Sequence[Limit],
    concerns: list[str],
    bound: str | None,
) -> Finding:
    """Judge the unbalance, which no bounded pair lets have a figure."""
    told = concerns + (["missing_pair_out_of_range"] if bound is not None else [])
    value = None if net is None or bound is not None else balance.from_mean_percent(values=net)
    uncertainty = None
    if net is not None and value is not None and accuracy is not None:
        digits = accuracy[1]
        own = balance.from_mean_uncertainty_percent(values=net, counts=1.0, resolution=digits)
        uncertainty = propagate(contributions=[own, value * digits / balance.mean_of(values=net)])
    limit = choose_limit(limits=limits)
    return judge(
        quantity="winding_unbalance", value=value, unit="%", uncertainty=uncertainty, limit=limit, concerns=told
    )


def _resistance(
    net: list[float] | None,
    accuracy: tuple[float, float] | None,
    measured_c: float | None,
    constant_k: float,
    limits: Sequence[Limit],
    concerns: list[str],
    bound: str | None,
) -> Finding:
    """Judge the mean of the pairs at 20 C; it is a bound where a pair is one."""
    told = concerns + (["missing_temperature"] if measured_c is None else [])
    told += ["missing_pair_out_of_range"] if bound == "both" else []
    value = uncertainty = None
    if net is not None and measured_c is not None and bound != "both":
        to_20 = resistance_at(resistance_ohm=1.0, measured_c=measured_c, constant_k=constant_k)
        value = balance.mean_of(values=net) * to_20
        if accuracy is not None:
            gain, digits = accuracy[0] * value, accuracy[1] * to_20
            uncertainty = propagate(contributions=[digits / 3.0] * 3 + [digits], shared=[[gain]])
    return judge(
        quantity="winding_resistance",
        value=value,
        unit="ohm",
        uncertainty=uncertainty,
        limit=choose_limit(limits=limits),
        concerns=told,
        bound=None if value is None else bound,
    )
