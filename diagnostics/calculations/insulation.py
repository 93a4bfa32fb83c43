"""Insulation resistance of windings: temperature correction, ratios over time, minimum values, loss of charge."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from diagnostics.calculations import checks
from diagnostics.calculations.verdicts import Assessment, Finding, Limit, assess, choose_limit, judge, propagate

RULES = ("thermosetting", "halving")
KELVIN = 273.0  # as IEEE 43-2013 writes it, from memory
REFERENCE_K = 313.0  # 40 °C
ABOVE_40_K = 4230.0  # exponent's constant for 40 to 85 °C, IEEE 43-2013, from memory
BELOW_40_K = 1245.0  # for 10 to 40 °C, IEEE 43-2013, from memory
LOWEST_C, HIGHEST_C = 10.0, 85.0
WINDINGS = ("random_wound", "form_wound", "older")
SOURCE = "IEEE 43-2013 Table 3, as quoted"
RANDOM_WOUND = Limit(kind="minimum", value=5.0, unit="megohm", source=SOURCE, authority="standard")
INDEX_SOURCE = "IEEE 43-2013 Table 4, classes B, F and H, as quoted"
INDEX_MINIMUM = Limit(kind="minimum", value=2.0, unit="ratio", source=INDEX_SOURCE, authority="standard")
INDEX_UP_TO_MEGOHM = 5000.0  # at one minute and 40 °C; above it the index isn't used, IEEE 43-2013, as quoted
# Rated volts up to which a row of IEEE 43 Table 1 holds (from memory), with its range of test voltages.
TEST_VOLTAGES = ((1000.0, 500.0, 500.0), (2500.0, 500.0, 1000.0), (5000.0, 1000.0, 2500.0), (12000.0, 2500.0, 5000.0))


@dataclass(frozen=True, kw_only=True)
class VoltageRange:
    """A range of test voltages.

    Fields:
        minimum_v [V], scalar: the lower end.
        maximum_v [V], scalar: the upper end; equal where the table gives one value.
        rated_v [V], scalar: the rated voltage that it was looked up for.
    Valid range: made by ``recommended_test_voltage_v``.
    Example:
        >>> recommended_test_voltage_v(rated_v=650).maximum_v
        500.0

    Source: IEEE 43 Table 1, from memory.
    """

    minimum_v: float
    maximum_v: float
    rated_v: float


def correct_to_reference(
    *, resistance_megohm: float, measured_c: float, reference_c: float = 40.0, rule: str = "thermosetting"
) -> float:
    """Return an insulation resistance as it would be at a reference temperature.

    Formula: R_ref = R K(T) / K(T_ref). Thermosetting: K = exp(-4230 (1/(T + 273) - 1/313)) from 40 to 85 °C,
    exp(-1245 (1/(T + 273) - 1/313)) from 10 to 40 °C. Halving: K = 0.5^((40 - T) / 10).

    Parameters:
        resistance_megohm [megohm], scalar: reading.
        measured_c [°C], scalar: temperature of the winding.
        reference_c [°C], scalar: temperature to refer it to.
        rule [-], text: thermosetting or halving.
    Returns:
        [megohm] the resistance at the reference temperature.
    Valid range: resistance from zero up; thermosetting from 10 to 85 °C for both temperatures; ``ValueError`` for
        anything else.
    Example:
        >>> correct_to_reference(resistance_megohm=1500, measured_c=20, rule="halving")
        375.0
        >>> round(correct_to_reference(resistance_megohm=1500, measured_c=20), 1)
        1143.3

    Source: halving: IEEE 43, as quoted; thermosetting: IEEE 43-2013, from memory.
    """
    resistance = checks.not_negative(name="resistance_megohm", value=resistance_megohm)
    checks.choice(name="rule", value=rule, allowed=RULES)
    at = {name: checks.celsius(name=name, value=value) for name, value in
          (("measured_c", measured_c), ("reference_c", reference_c))}  # fmt: skip
    if rule == "thermosetting":
        for name, value in at.items():
            checks.between(name=name, value=value, lowest=LOWEST_C, highest=HIGHEST_C)
    factor = _exponent(at["measured_c"], rule) - _exponent(at["reference_c"], rule)
    try:
        corrected = resistance * math.exp(factor)
    except OverflowError:
        raise ValueError(f"The argument measured_c must give a possible factor, but it is {measured_c!r}.") from None
    return checks.carried(name="resistance", value=corrected)


def polarization_index(*, minute_1_megohm: float, minute_10_megohm: float) -> float:
    """Return the polarization index of a ten-minute test.

    Formula: PI = R(10 min) / R(1 min).

    Parameters:
        minute_1_megohm [megohm], scalar: reading after one minute.
        minute_10_megohm [megohm], scalar: reading after ten minutes.
    Returns:
        [-] the index.
    Valid range: readings above zero; ``ValueError`` for anything else.
    Example:
        >>> polarization_index(minute_1_megohm=500, minute_10_megohm=2000)
        4.0

    Source: IEEE 43; example: electricalampere.com, PI and DA test.
    """
    first = checks.positive(name="minute_1_megohm", value=minute_1_megohm)
    return checks.carried(name="index", value=checks.positive(name="minute_10_megohm", value=minute_10_megohm) / first)


def absorption_ratio(*, second_30_megohm: float, second_60_megohm: float) -> float:
    """Return the absorption ratio of a one-minute test.

    Formula: DAR = R(60 s) / R(30 s).

    Parameters:
        second_30_megohm [megohm], scalar: reading after thirty seconds.
        second_60_megohm [megohm], scalar: reading after sixty seconds.
    Returns:
        [-] the ratio.
    Valid range: readings above zero; ``ValueError`` for anything else.
    Example:
        >>> absorption_ratio(second_30_megohm=400, second_60_megohm=500)
        1.25

    Source: Metrel MI 3205 manual, p. 44.
    """
    first = checks.positive(name="second_30_megohm", value=second_30_megohm)
    return checks.carried(name="ratio", value=checks.positive(name="second_60_megohm", value=second_60_megohm) / first)


def minimum_resistance_megohm(*, winding: str, rated_kv: float) -> float:
    """Return the least insulation resistance after one minute at 40 °C.

    Formula: random-wound, and form-wound under 1 kV: 5; form-wound from 1 kV: 100; older: rated kV + 1.

    Parameters:
        winding [-], text: random_wound, form_wound or older (before about 1970, field windings, others).
        rated_kv [kV], scalar: rated line-to-line voltage.
    Returns:
        [megohm] the minimum.
    Valid range: rated voltage above zero; ``ValueError`` for anything else.
    Example:
        >>> minimum_resistance_megohm(winding="older", rated_kv=0.48)
        1.48

    Source: IEEE 43-2013 Table 3, as quoted.
    """
    checks.choice(name="winding", value=winding, allowed=WINDINGS)
    rated = checks.positive(name="rated_kv", value=rated_kv)
    if winding == "older":
        return rated + 1.0
    return 100.0 if winding == "form_wound" and rated >= 1.0 else RANDOM_WOUND.value


def recommended_test_voltage_v(*, rated_v: float) -> VoltageRange:
    """Return the DC test voltages for a winding of this rated voltage.

    Formula: a table by rated voltage: under 1000 V: 500; to 2500: 500 to 1000; to 5000: 1000 to 2500; to 12 000: 2500
    to 5000; above: 5000 to 10 000.

    Parameters:
        rated_v [V], scalar: rated line-to-line voltage.
    Returns:
        [V] the range.
    Valid range: above zero; ``ValueError`` for anything else.
    Example:
        >>> recommended_test_voltage_v(rated_v=2500).minimum_v, recommended_test_voltage_v(rated_v=2500).maximum_v
        (500.0, 1000.0)

    Source: IEEE 43 Table 1, from memory; the last row: Megger, Guide to Insulation Testing Above 1 kV.
    """
    rated = checks.positive(name="rated_v", value=rated_v)
    for number, (highest, minimum, maximum) in enumerate(TEST_VOLTAGES):
        if rated < highest or (number > 0 and rated == highest):
            return VoltageRange(minimum_v=minimum, maximum_v=maximum, rated_v=rated)
    return VoltageRange(minimum_v=5000.0, maximum_v=10000.0, rated_v=rated)


def resistance_from_decay_megohm(*, start_v: float, end_v: float, elapsed_s: float, capacitance_f: float) -> float:
    """Return the insulation resistance from how fast a charged capacitance loses its voltage through it.

    Formula: R = t / (C ln(V1 / V2)).

    Parameters:
        start_v [V], scalar: voltage at the start.
        end_v [V], scalar: voltage at the end.
        elapsed_s [s], scalar: time between.
        capacitance_f [F], scalar: the capacitance.
    Returns:
        [megohm] the resistance.
    Valid range: all above zero and the end below the start; ``ValueError`` for anything else.
    Example:
        >>> round(resistance_from_decay_megohm(start_v=250, end_v=92, elapsed_s=60, capacitance_f=600e-12), -1)
        100030.0

    Source: measurement textbook ch. 10 ex. 18, FOSSEE/Scilab-TBC-Uploads 3871/CH10/EX10.18.
    """
    start = checks.positive(name="start_v", value=start_v)
    end = checks.positive(name="end_v", value=end_v)
    elapsed = checks.positive(name="elapsed_s", value=elapsed_s)
    capacitance = checks.positive(name="capacitance_f", value=capacitance_f)
    if end >= start:
        raise ValueError(f"The argument end_v must lie below the start of {start_v!r} V, but it is {end_v!r}.")
    ohms = elapsed / capacitance / (math.log(start) - math.log(end))
    return checks.carried(name="resistance", value=ohms / 1e6)


def assess_insulation(
    *,
    resistance_megohm: float | None,
    bound: str | None,
    measured_c: float | None,
    uncertainty_megohm: float | None,
    seconds: float,
    damp: bool = False,
    limits: Sequence[Limit] = (RANDOM_WOUND,),
    rule: str = "thermosetting",
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return what one timed reading says about the insulation of a winding to the machine's body.

    Formula: the reading, its uncertainty and its bound are referred to 40 °C and judged against the minimum.

    Parameters:
        resistance_megohm [megohm], scalar or None: reading, or the figure of a bound.
        bound [-], text or None: at_least for "> 550", at_most, or None.
        measured_c [°C], scalar or None: temperature of the winding.
        uncertainty_megohm [megohm], scalar or None: U with k = 2 of the reading.
        seconds [s], scalar: how long the test voltage was on when it was read.
        damp [-], truth value: moisture was seen, or the air was near its dew point.
        limits [megohm], row of Limit: minimum at 40 °C.
        rule [-], text: thermosetting or halving.
        concerns [-], row of texts: reason codes that the record adds.
    Returns:
        [-] the finding insulation_resistance [megohm]; concerns temperature_out_of_range outside 10 to 85 °C (for the
        thermosetting rule), damp, read_too_early before 60 s; the next step star_point_hides_phases: an internal star
        point hides the insulation between phases.
    Valid range: reading from zero up, seconds above zero; ``ValueError`` for anything else.
    Example:
        >>> assess_insulation(resistance_megohm=550, bound="at_least", measured_c=24, uncertainty_megohm=16.8,
        ...                   seconds=60).verdict.value
        'within'

    Source: IEEE 43-2013 Table 3, as quoted; range of temperatures and the rule: IEEE 43-2013, from memory.
    """
    told = list(concerns)
    checks.positive(name="seconds", value=seconds)
    if measured_c is None:
        told.append("missing_temperature")
    elif rule == "thermosetting" and not LOWEST_C <= checks.celsius(name="measured_c", value=measured_c) <= HIGHEST_C:
        told.append("temperature_out_of_range")
    if damp:
        told.append("damp")
    if seconds < 60.0:
        told.append("read_too_early")
    correctable = measured_c is not None and "temperature_out_of_range" not in told
    finding = judge(
        quantity="insulation_resistance",
        value=_referred("resistance_megohm", resistance_megohm, measured_c if correctable else None, rule),
        unit="megohm",
        uncertainty=_referred("uncertainty_megohm", uncertainty_megohm, measured_c if correctable else None, rule),
        limit=choose_limit(limits=limits),
        concerns=tuple(dict.fromkeys(told)),
        bound=bound,
    )
    return assess(findings=[finding], next_steps=("star_point_hides_phases",))


def judge_polarization(
    *,
    minute_1_megohm: float,
    minute_10_megohm: float,
    minute_10_bound: str | None = None,
    at_40_c_megohm: float | None = None,
    counts: float | None = None,
    resolution_megohm: float | None = None,
    limits: Sequence[Limit] = (INDEX_MINIMUM,),
    concerns: Sequence[str] = (),
) -> Finding | None:
    """Return the verdict on the polarization index of a ten-minute test, or None where it says nothing.

    Formula: PI = R(10 min) / R(1 min), both read in one range of one instrument, so that its gain cancels and only
    counts are left: U = PI sqrt((c / R1)^2 + (c / R10)^2), c = counts x resolution. Above 5000 megohm at one minute
    and 40 °C it is not used for judging.

    Parameters:
        minute_1_megohm [megohm], scalar: read after one minute.
        minute_10_megohm [megohm], scalar: read after ten minutes.
        minute_10_bound [-], text or None: at_least or at_most; the index is a bound as well then.
        at_40_c_megohm [megohm], scalar or None: the reading of one minute at 40 °C.
        counts [-], scalar or None: the "+ digits" of the data sheet.
        resolution_megohm [megohm], scalar or None: what the last digit is worth.
        limits [ratio], row of Limit: minimum; by default that of classes B, F and H.
        concerns [-], row of texts: reason codes that the record adds.
    Returns:
        [-] the finding polarization_index, or None.
    Valid range: readings above zero; ``ValueError`` for anything else.
    Example:
        >>> found = judge_polarization(minute_1_megohm=500, minute_10_megohm=2000, counts=3, resolution_megohm=1)
        >>> found.value, found.verdict.value
        (4.0, 'within')

    Source: IEEE 43-2013 Table 4 and the 5000 megohm, as quoted.
    """
    if at_40_c_megohm is not None and at_40_c_megohm > INDEX_UP_TO_MEGOHM:
        return None
    index = polarization_index(minute_1_megohm=minute_1_megohm, minute_10_megohm=minute_10_megohm)
    spread = None
    if counts is not None and resolution_megohm is not None:
        digits = checks.not_negative(name="counts", value=counts)
        digits *= checks.not_negative(name="resolution_megohm", value=resolution_megohm)
        spread = propagate(contributions=[index * digits / minute_1_megohm, index * digits / minute_10_megohm])
    return judge(
        quantity="polarization_index",
        value=index,
        unit="ratio",
        uncertainty=spread,
        limit=choose_limit(limits=limits),
        concerns=concerns,
        bound=minute_10_bound,
    )


def dew_point_c(*, air_c: float, humidity_percent: float) -> float:
    """Return the temperature at which this air begins to leave moisture on what it touches.

    Formula: g = ln(humidity / 100) + 17.62 t / (243.12 + t); dew point = 243.12 g / (17.62 - g).

    Parameters:
        air_c [°C], scalar: temperature of the air.
        humidity_percent [%], scalar: relative humidity.
    Returns:
        [°C] the dew point.
    Valid range: air from -45 to 60 °C, humidity above 0 to 100 %; ``ValueError`` for anything else.
    Example:
        >>> round(dew_point_c(air_c=20.0, humidity_percent=80.0), 1)
        16.4

    Source: Magnus formula over water, WMO-No. 8 Annex 4.B, from memory.
    """
    air = checks.between(name="air_c", value=air_c, lowest=-45.0, highest=60.0)
    humidity = checks.positive(name="humidity_percent", value=humidity_percent)
    checks.between(name="humidity_percent", value=humidity, lowest=0.0, highest=100.0)
    gamma = math.log(humidity / 100.0) + 17.62 * air / (243.12 + air)
    return 243.12 * gamma / (17.62 - gamma)


def _referred(name: str, value: float | None, measured_c: float | None, rule: str) -> float | None:
    """Return the figure at 40 °C, or as it is where the temperature can't be used."""
    if value is None:
        return None
    plain = checks.not_negative(name=name, value=value)
    return (
        plain if measured_c is None else correct_to_reference(resistance_megohm=plain, measured_c=measured_c, rule=rule)
    )


def _exponent(at_c: float, rule: str) -> float:
    """Return ln K(T)."""
    if rule == "halving":
        return (at_c - 40.0) / 10.0 * math.log(2.0)
    constant = ABOVE_40_K if at_c >= 40.0 else BELOW_40_K
    return -constant * (1.0 / (at_c + KELVIN) - 1.0 / REFERENCE_K)
