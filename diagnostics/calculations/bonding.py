"""Interlock loop, and bonding of exposed conductive parts to the vehicle's body.

Codes that ``assess_bonding`` adds to those of ``verdicts``:

=========================  ==========================================================================
reason                     meaning
=========================  ==========================================================================
missing_null               the test leads were not nulled
missing_test_current       nobody wrote down how much current the bonds were tested with
test_current_too_low       less than 0.2 A: too little to find a bad bond
reading_below_null         a bond reads less than the leads alone by more than the uncertainty
=========================  ==========================================================================
"""

from collections.abc import Sequence

from diagnostics.calculations import checks
from diagnostics.calculations.verdicts import Assessment, Finding, Limit, assess, choose_limit, judge, propagate

LEAST_CURRENT_A = 0.2  # A; UN R100 5.1.2.2, as quoted
STANDARD_LIMIT = Limit(kind="maximum", value=0.1, unit="ohm", source="UN R100 5.1.2.2, as quoted", authority="standard")


def assess_bonding(
    *,
    bonds_ohm: Sequence[float | None],
    null_ohm: float | None,
    test_current_a: float | None,
    percent_of_reading: float | None,
    counts: float | None,
    resolution_ohm: float | None,
    bounds: Sequence[str | None] = (),
    limits: Sequence[Limit] = (),
    loop_ohm: float | None = None,
    loop_bound: str | None = None,
    loop_limits: Sequence[Limit] = (),
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return what the resistance of bonds and of the interlock loop proves.

    Formula: net = reading - null, not below zero; U from the counts of both and from their shared gain. Bonds are
    judged against the strictest of the standard's 0.1 ohm and the limits given.

    Parameters:
        bonds_ohm [ohm], row: each bond as read; None where one is missing.
        null_ohm [ohm], scalar or None: the leads alone; 0 where the instrument took them away itself.
        test_current_a [A], scalar or None: current that the bonds were tested with.
        percent_of_reading [%], scalar or None: the "% of reading" of the data sheet.
        counts [-], scalar or None: the "+ digits" of the data sheet.
        resolution_ohm [ohm], scalar or None: what the last digit is worth.
        bounds [-], row as long as bonds_ohm, or empty: at_least, at_most or None for each.
        limits [ohm], row of Limit: further maxima; none loosens the standard's.
        loop_ohm [ohm], scalar or None: interlock loop, leads included; None gives no finding unless it has limits.
        loop_bound [-], text or None: at_least ("OL") or at_most.
        loop_limits [ohm], row of Limit: the maker's.
        concerns [-], row of texts: reason codes given by the caller.
    Returns:
        [ohm] a finding bonding_resistance for each bond, in order, and interlock_loop_resistance.
    Valid range: readings and current from zero up; ``ValueError`` for anything else.
    Example:
        >>> found = assess_bonding(bonds_ohm=[0.062, 0.19], null_ohm=0.05, test_current_a=0.2, percent_of_reading=1,
        ...                        counts=3, resolution_ohm=0.001)
        >>> [finding.verdict.value for finding in found.findings]
        ['within', 'outside']

    Source: UN R100 5.1.2.2, as quoted.
    """
    if len(bounds) not in (0, len(bonds_ohm)):
        raise ValueError(f"The argument bounds must be empty or as long as bonds_ohm, but it is {bounds!r}.")
    told = list(concerns) + (["missing_null"] if null_ohm is None else [])
    accuracy = (percent_of_reading, counts, resolution_ohm)
    limit = choose_limit(limits=[STANDARD_LIMIT, *limits], strictest=True)
    findings = [
        _finding("bonding_resistance", bond, null_ohm, accuracy, limit, told + _of_current(test_current_a), bound)
        for bond, bound in zip(bonds_ohm, bounds if len(bounds) > 0 else [None] * len(bonds_ohm), strict=True)
    ]
    if loop_ohm is not None or len(loop_limits) > 0:
        loop_limit = choose_limit(limits=loop_limits)
        loop = _finding("interlock_loop_resistance", loop_ohm, null_ohm, accuracy, loop_limit, told, loop_bound)
        findings.append(loop)
    return assess(findings=findings)


def _of_current(test_current_a: float | None) -> list[str]:
    """Return the concern that the test current raises."""
    if test_current_a is None:
        return ["missing_test_current"]
    current = checks.not_negative(name="test_current_a", value=test_current_a)
    return ["test_current_too_low"] if current < LEAST_CURRENT_A else []


def _finding(
    quantity: str,
    reading: float | None,
    null: float | None,
    accuracy: tuple[float | None, float | None, float | None],
    limit: Limit | None,
    concerns: list[str],
    bound: str | None,
) -> Finding:
    """Judge one reading without its leads."""
    leads = checks.not_negative(name="null_ohm", value=0.0 if null is None else null)
    net = uncertainty = None
    told = list(concerns)
    if reading is not None:
        net = checks.not_negative(name=quantity, value=reading) - leads
        uncertainty = _uncertainty(net + leads, leads, accuracy)
        told += ["reading_below_null"] if net < -(uncertainty or 0.0) else []
        net = max(net, 0.0)
    return judge(
        quantity=quantity, value=net, unit="ohm", uncertainty=uncertainty, limit=limit, concerns=told, bound=bound
    )


def _uncertainty(
    reading: float, leads: float, accuracy: tuple[float | None, float | None, float | None]
) -> float | None:
    """Return U of the difference of two readings of one instrument; a null of exactly zero was not read."""
    percent, counts, resolution = accuracy
    if percent is None or counts is None or resolution is None:
        return None
    gain = checks.not_negative(name="percent_of_reading", value=percent) / 100.0
    digits = checks.not_negative(name="counts", value=counts)
    digits *= checks.not_negative(name="resolution_ohm", value=resolution)
    of_null = digits if leads > 0.0 else 0.0
    return propagate(contributions=[digits, of_null], shared=[[gain * reading, -gain * leads]])
