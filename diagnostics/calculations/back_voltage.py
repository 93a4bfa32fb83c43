"""Open-circuit voltage of a turned machine: equal in all pairs, and as high as the speed demands.

Codes that ``assess_back_voltage`` adds to those of ``verdicts``:

==========================  =========================================================================
next step                   meaning
==========================  =========================================================================
turning_makes_voltage       as long as anything turns, the terminals are live
suspect_weak_magnets        low in all pairs alike: demagnetised
suspect_winding             the pairs differ
==========================  =========================================================================
"""

from collections.abc import Sequence

from diagnostics.calculations import balance, checks
from diagnostics.calculations.verdicts import (
    Assessment,
    Limit,
    Verdict,
    assess,
    choose_limit,
    instrument_uncertainty,
    judge,
    propagate,
)

UNIT = "V per 1000 rpm"


def volts_per_1000_rpm(*, voltage_v: float, speed_rpm: float) -> float:
    """Return the voltage that a machine makes for each thousand turns a minute.

    Formula: 1000 x U / n.

    Parameters:
        voltage_v [V], scalar: between two terminals, nothing connected.
        speed_rpm [1/min], scalar: speed of the rotor.
    Returns:
        [V per 1000 rpm] the constant.
    Valid range: voltage from zero up, speed above zero. ``ValueError`` for anything else.
    Example:
        >>> volts_per_1000_rpm(voltage_v=30.0, speed_rpm=500)
        60.0

    Source: law of induction, voltage proportional to speed (from memory).
    """
    voltage = checks.not_negative(name="voltage_v", value=voltage_v)
    speed = checks.positive(name="speed_rpm", value=speed_rpm)
    return checks.carried(name="volts_per_1000_rpm", value=1000.0 * voltage / speed)


def assess_back_voltage(
    *,
    voltages_v: checks.Row,
    speed_rpm: float,
    speed_uncertainty_rpm: float | None,
    percent_of_reading: float | None,
    counts: float | None,
    resolution_v: float | None,
    unbalance_limits: Sequence[Limit] = (),
    constant_limits: Sequence[Limit] = (),
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return what the open-circuit voltages of a turned machine prove.

    Formula: unbalance from the mean, in which the meter's gain and the speed cancel; constant = 1000 x mean / speed, in
    which the gain is shared by all voltages, and counts and speed are independent.

    Parameters:
        voltages_v [V], row of three: UV, VW, WU at one speed.
        speed_rpm [1/min], scalar: speed of the rotor.
        speed_uncertainty_rpm [1/min], scalar or None: U with k = 2 of the speed.
        percent_of_reading [%], scalar or None: the "% of reading" of the data sheet.
        counts [-], scalar or None: the "+ digits" of the data sheet.
        resolution_v [V], scalar or None: what the last digit is worth.
        unbalance_limits [%], row of Limit: for back_voltage_unbalance; none is published.
        constant_limits [V per 1000 rpm], row of Limit: for back_voltage_constant; the maker's.
        concerns [-], row of texts: reason codes given by the caller.
    Returns:
        [% and V per 1000 rpm] both findings; unproven without a limit.
    Valid range: voltages from zero up, not all zero; speed above zero. ``ValueError`` for anything else.
    Example:
        >>> low = Limit(kind="minimum", value=60.0, unit="V per 1000 rpm", source="maker's manual", authority="maker")
        >>> found = assess_back_voltage(voltages_v=[25, 25.1, 24.9], speed_rpm=500, speed_uncertainty_rpm=2,
        ...     percent_of_reading=0.5, counts=2, resolution_v=0.01, constant_limits=[low])
        >>> found.findings[1].verdict.value, found.next_steps
        ('outside', ('enter_limit', 'turning_makes_voltage', 'suspect_weak_magnets'))

    Source: the project's own rules; low in all pairs means weak magnets: common practice, no source.
    """
    volts = checks.row(name="voltages_v", values=voltages_v)
    if len(volts) != 3:
        raise ValueError(f"The argument voltages_v must hold three voltages, but it is {voltages_v!r}.")
    mean = balance.mean_of(values=volts)
    constant = volts_per_1000_rpm(voltage_v=mean, speed_rpm=speed_rpm)
    spread = own = None
    if percent_of_reading is not None and counts is not None and resolution_v is not None:
        spread = balance.from_mean_uncertainty_percent(values=volts, counts=counts, resolution=resolution_v)
        if speed_uncertainty_rpm is not None:
            gain = instrument_uncertainty(
                reading=constant, percent_of_reading=percent_of_reading, counts=0.0, resolution=0.0
            )
            digits = volts_per_1000_rpm(voltage_v=counts * resolution_v, speed_rpm=speed_rpm) / 3.0
            turning = checks.not_negative(name="speed_uncertainty_rpm", value=speed_uncertainty_rpm)
            own = propagate(contributions=[*[digits] * 3, constant * turning / speed_rpm], shared=[[gain]])
    alike = judge(
        quantity="back_voltage_unbalance",
        value=balance.from_mean_percent(values=volts),
        unit="%",
        uncertainty=spread,
        limit=choose_limit(limits=unbalance_limits),
        concerns=concerns,
    )
    high = judge(
        quantity="back_voltage_constant",
        value=constant,
        unit=UNIT,
        uncertainty=own,
        limit=choose_limit(limits=constant_limits),
        concerns=concerns,
    )
    steps = ["turning_makes_voltage"]
    if alike.verdict is Verdict.OUTSIDE:
        steps.append("suspect_winding")
    elif high.verdict is Verdict.OUTSIDE and high.limit is not None and constant < high.limit.value:
        steps.append("suspect_weak_magnets")
    return assess(findings=[alike, high], next_steps=steps)
