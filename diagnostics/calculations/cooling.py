"""What carries the heat away: fans, and the coolant loop."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from diagnostics.calculations import checks
from diagnostics.calculations.observations import assess_with_steps, observe
from diagnostics.calculations.verdicts import (
    COMMON_PRACTICE,
    Assessment,
    Finding,
    Limit,
    Verdict,
    choose_limit,
    judge,
    propagate,
)

STEP_FOR_REASON = {
    "no_rise": "check_filter_duct_and_fan",
    "missing_flow": "measure_flow",
    "missing_look": "look_at_coolant",
    "water": "find_leak_and_flush",
    "metal": "find_source_of_metal",
    "colour": "identify_coolant_and_flush",
}


@dataclass(frozen=True, kw_only=True)
class FanPoint:
    """One working point of a fan.

    Fields:
        flow [any unit], scalar: volume per time.
        pressure [any unit], scalar: pressure that it builds up.
        power [any unit], scalar: power at its shaft.
    Valid range: made by ``scale_fan``; nothing is checked here.
    Example:
        >>> FanPoint(flow=4500.0, pressure=2.25, power=2.53).flow
        4500.0

    Source: the project's own rule.
    """

    flow: float
    pressure: float
    power: float


@dataclass(frozen=True, kw_only=True)
class FanStep:
    """One step of a fan sweep.

    Fields:
        commanded_percent [%], scalar: what the fan was told.
        measured [one unit], scalar or None: speed or flow; None where it was not read.
        expected [the same unit], scalar or None: what the maker states for this step.
    Valid range: commanded 0 to 100, the others from zero up. ``ValueError`` for anything else.
    Example:
        >>> FanStep(commanded_percent=40, measured=1200).measured
        1200.0

    Source: the project's own rule.
    """

    commanded_percent: float
    measured: float | None
    expected: float | None = None

    def __post_init__(self) -> None:
        """Refuse what can't be, and keep the figures as plain floats."""
        commanded = checks.between(name="commanded_percent", value=self.commanded_percent, lowest=0.0, highest=100.0)
        object.__setattr__(self, "commanded_percent", commanded)
        for name in ("measured", "expected"):
            if getattr(self, name) is not None:
                object.__setattr__(self, name, checks.not_negative(name=name, value=getattr(self, name)))


def heat_carried_w(
    *, flow_m3_per_s: float, rise_k: float, density_kg_per_m3: float, heat_capacity_j_per_kg_k: float
) -> float:
    """Return the heat that a flow of air or coolant carries away.

    Formula: Q = density x heat capacity x flow x rise.

    Parameters:
        flow_m3_per_s [m3/s], scalar: volume per time.
        rise_k [K], scalar: outlet less inlet; below zero where the flow brings heat in.
        density_kg_per_m3 [kg/m3], scalar: of the fluid.
        heat_capacity_j_per_kg_k [J/(kg K)], scalar: of the fluid, at constant pressure.
    Returns:
        [W] the heat.
    Valid range: flow from zero up, density and heat capacity above zero. ``ValueError`` for anything else.
    Example:
        >>> round(heat_carried_w(flow_m3_per_s=0.016584, rise_k=10, density_kg_per_m3=1.2,
        ...                      heat_capacity_j_per_kg_k=1005))
        200

    Source: energy balance; reference value 7.3 (air rule of a fan maker, braemacca).
    """
    flow = checks.not_negative(name="flow_m3_per_s", value=flow_m3_per_s)
    rise = checks.number(name="rise_k", value=rise_k)
    density = checks.positive(name="density_kg_per_m3", value=density_kg_per_m3)
    capacity = checks.positive(name="heat_capacity_j_per_kg_k", value=heat_capacity_j_per_kg_k)
    return checks.carried(name="heat_carried_w", value=density * capacity * flow * rise)


def scale_fan(*, flow: float, pressure: float, power: float, from_rpm: float, to_rpm: float) -> FanPoint:
    """Return the working point of the same fan in the same duct at another speed.

    Formula: q = to / from; flow x q, pressure x q^2, power x q^3, density unchanged.

    Parameters:
        flow [any unit], scalar: at the first speed.
        pressure [any unit], scalar: at the first speed.
        power [any unit], scalar: at the first speed.
        from_rpm [1/min], scalar: the first speed.
        to_rpm [1/min], scalar: the other speed.
    Returns:
        [the units given] flow, pressure and power at the other speed.
    Valid range: first speed above zero, the others from zero up. ``ValueError`` for anything else.
    Example:
        >>> scale_fan(flow=6000, pressure=4, power=6, from_rpm=2000, to_rpm=1500)
        FanPoint(flow=4500.0, pressure=2.25, power=2.53125)

    Source: fan laws, nrmurphy.com; example: university homework 6, scribd 262289512.
    """
    start = checks.positive(name="from_rpm", value=from_rpm)
    q = checks.carried(name="ratio of speeds", value=checks.not_negative(name="to_rpm", value=to_rpm) / start)
    scaled = {
        name: checks.carried(name=name, value=checks.not_negative(name=name, value=value) * factor)
        for name, value, factor in (("flow", flow, q), ("pressure", pressure, q * q), ("power", power, q * q * q))
    }
    return FanPoint(**scaled)


def assess_fan_sweep(
    *,
    steps: Sequence[FanStep],
    unit: str = "rpm",
    uncertainty: float | None = None,
    limits: Sequence[Limit] = (),
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return whether a fan moves more with every step that it is told, and as much as the maker states.

    Formula: rise = measured - measured at the step before, U(rise) = sqrt(2) U, judged against a minimum of 0. A rise
    that was read as zero or below is no rise, and a finer instrument would find none worth the step: outside, reason
    no_rise; one above zero that U reaches across is unproven. deviation = 100 x abs(measured - expected) / expected.

    Parameters:
        steps [%, one unit], row of FanStep: the sweep, command rising.
        unit [-], text: of measured and expected: rpm, l/min, or a scale of the record's own.
        uncertainty [that unit], scalar or None: U (k = 2) of one reading; None where it isn't known.
        limits [%], row of Limit: of the deviation from what the maker expects.
        concerns [-], row of texts: reason codes that the record adds.
    Returns:
        [-] an assessment with a finding rise_between_40_and_60_percent for each pair of steps, and
            deviation_at_60_percent for each step with an expected figure above zero; fewer than two steps: not enough
            data.
    Valid range: ``ValueError`` where the command doesn't rise from step to step, and for a negative uncertainty.
    Example:
        >>> sweep = [FanStep(commanded_percent=p, measured=m) for p, m in ((20, 700), (40, 1200), (60, 1200))]
        >>> found = assess_fan_sweep(steps=sweep, uncertainty=10)
        >>> [(finding.quantity, finding.reason) for finding in found.findings][1]
        ('rise_between_40_and_60_percent', 'no_rise')
        >>> found.verdict.value
        'outside'

    Source: common practice, no source (every step rises).
    """
    if not isinstance(steps, list | tuple) or not all(isinstance(step, FanStep) for step in steps):
        raise ValueError(f"The argument steps must be a row of FanStep, but it is {steps!r}.")
    for before, after in pairwise(steps):
        if after.commanded_percent <= before.commanded_percent:
            raise ValueError(
                f"The argument steps must rise in commanded_percent, but {after.commanded_percent:g} follows "
                f"{before.commanded_percent:g}."
            )
    findings = [_rise(before, after, unit, uncertainty, concerns) for before, after in pairwise(steps)]
    findings += [_deviation(step, uncertainty, limits, concerns) for step in steps if step.expected] if findings else []
    return assess_with_steps(findings=findings, step_for_reason=STEP_FOR_REASON)


def assess_coolant_loop(
    *,
    flow_l_per_min: float | None,
    inlet_c: float | None,
    outlet_c: float | None,
    signs: Sequence[str] | None,
    uncertainty_l_per_min: float | None = None,
    uncertainty_k: float | None = None,
    flow_limits: Sequence[Limit] = (),
    rise_limits: Sequence[Limit] = (),
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return whether a coolant loop moves coolant, warms it as it should, and is clean.

    Formula: rise = outlet - inlet, U(rise) = sqrt(2) U. A pump that is only heard proves no flow.

    Parameters:
        flow_l_per_min [l/min], scalar or None: measured flow; None where the pump was only heard or felt.
        inlet_c [degrees Celsius], scalar or None: coolant into the part.
        outlet_c [degrees Celsius], scalar or None: coolant out of it.
        signs [-], row of texts or None: what the look showed: water, metal, colour or other codes; empty where it was
            clean; None where nobody looked.
        uncertainty_l_per_min [l/min], scalar or None: U (k = 2) of the flow; None where it isn't known.
        uncertainty_k [K], scalar or None: U (k = 2) of each temperature.
        flow_limits [l/min], row of Limit: of the flow.
        rise_limits [K], row of Limit: of the rise.
        concerns [-], row of texts: reason codes that the record adds.
    Returns:
        [-] an assessment with the findings coolant_flow, coolant_rise and coolant_contamination.
    Valid range: flow from zero up, temperatures from absolute zero up. ``ValueError`` for anything else.
    Example:
        >>> maker = Limit(kind="minimum", value=5, unit="l/min", source="maker's sheet", authority="maker")
        >>> found = assess_coolant_loop(flow_l_per_min=None, inlet_c=40, outlet_c=44, signs=["metal"],
        ...                             flow_limits=[maker])
        >>> [finding.reason for finding in found.findings], found.next_steps[0]
        (['missing_flow', 'no_limit', 'metal'], 'measure_flow')

    Source: common practice, no source (contamination).
    """
    flow = None if flow_l_per_min is None else checks.not_negative(name="flow_l_per_min", value=flow_l_per_min)
    rise = None
    if inlet_c is not None and outlet_c is not None:
        rise = checks.celsius(name="outlet_c", value=outlet_c) - checks.celsius(name="inlet_c", value=inlet_c)
    findings = [
        judge(
            quantity="coolant_flow",
            value=flow,
            unit="l/min",
            uncertainty=uncertainty_l_per_min,
            limit=choose_limit(limits=flow_limits),
            concerns=("missing_flow", *concerns) if flow is None else concerns,
        ),
        judge(
            quantity="coolant_rise",
            value=rise,
            unit="K",
            uncertainty=None if uncertainty_k is None else propagate(contributions=[uncertainty_k, uncertainty_k]),
            limit=choose_limit(limits=rise_limits),
            concerns=("missing_temperature", *concerns) if rise is None else concerns,
        ),
        observe(
            quantity="coolant_contamination",
            signs=signs,
            concerns=("missing_look", *concerns) if signs is None else concerns,
        ),
    ]
    return assess_with_steps(findings=findings, step_for_reason=STEP_FOR_REASON)


def _rise(before: FanStep, after: FanStep, unit: str, uncertainty: float | None, concerns: Sequence[str]) -> Finding:
    """Return the finding on one pair of steps."""
    readable = before.measured is not None and after.measured is not None
    finding = judge(
        quantity=f"rise_between_{before.commanded_percent:g}_and_{after.commanded_percent:g}_percent",
        value=(after.measured or 0.0) - (before.measured or 0.0) if readable else None,
        unit=unit,
        uncertainty=None if uncertainty is None else propagate(contributions=[uncertainty, uncertainty]),
        limit=Limit(kind="minimum", value=0.0, unit=unit, source=COMMON_PRACTICE, authority="common practice"),
        concerns=concerns,
    )
    if finding.value is None or finding.value > 0.0 or finding.reason not in ("touches_limit", "beyond_limit"):
        return finding
    words = (
        f"The fan doesn't rise between {before.commanded_percent:g} and {after.commanded_percent:g} %: "
        f"{before.measured:g} and {after.measured:g} {unit} were read."
    )
    return replace(finding, verdict=Verdict.OUTSIDE, reason="no_rise", explanation=words)


def _deviation(step: FanStep, uncertainty: float | None, limits: Sequence[Limit], concerns: Sequence[str]) -> Finding:
    """Return the finding on one step against what the maker expects there."""
    expected = step.expected or 1.0
    return judge(
        quantity=f"deviation_at_{step.commanded_percent:g}_percent",
        value=None if step.measured is None else 100.0 * abs(step.measured - expected) / expected,
        unit="%",
        uncertainty=None if uncertainty is None else 100.0 * uncertainty / expected,
        limit=choose_limit(limits=limits),
        concerns=concerns,
    )
