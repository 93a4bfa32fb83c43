"""Which consumer spoils the isolation: readings with all of them, then with one after the other unplugged.

Codes that ``assess_isolation_by_consumer`` adds to those of ``verdicts``:

==============================  ======================================================================
reason                          meaning
==============================  ======================================================================
lower_than_before_unplugging    unplugging can only raise the isolation: something else was changed
next step                       meaning
leak_in_<consumer>              unplugging it restores the isolation, or it alone leaks too much
leak_in_the_rest                still outside with all of them unplugged
unplug_one_after_the_other      outside, and nothing was unplugged yet
==============================  ======================================================================
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from diagnostics.calculations import checks
from diagnostics.calculations.verdicts import BOUNDS, Assessment, Finding, Limit, Verdict, assess, choose_limit, judge

CONSUMERS = ("compressor", "heater", "charger", "dc_converter", "machine", "inverter", "other")


@dataclass(frozen=True, kw_only=True)
class IsolationReading:
    """One reading of the isolation.

    Fields:
        kilohm [kilohm], scalar or None: as read, or the figure of a bound; None where it was not read.
        uncertainty_kilohm [kilohm], scalar or None: U with k = 2; None where it isn't known.
        bound [-], text or None: at_least ("OL") or at_most.
    Valid range: figures from zero up. ``ValueError`` for anything else.
    Example:
        >>> IsolationReading(kilohm=120, uncertainty_kilohm=4).kilohm
        120.0

    Source: the project's own rule.
    """

    kilohm: float | None
    uncertainty_kilohm: float | None = None
    bound: str | None = None

    def __post_init__(self) -> None:
        """Refuse what is no isolation, and keep the figures as plain floats."""
        for name in ("kilohm", "uncertainty_kilohm"):
            if getattr(self, name) is not None:
                object.__setattr__(self, name, checks.not_negative(name=name, value=getattr(self, name)))
        if self.bound is not None:
            checks.choice(name="bound", value=self.bound, allowed=BOUNDS)


def assess_isolation_by_consumer(
    *,
    all_connected: IsolationReading,
    unplugged: Sequence[tuple[str, IsolationReading]],
    limits: Sequence[Limit],
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return whether the isolation holds, and which consumer spoils it.

    Formula: leaks lie side by side, so their conductances add up: what a consumer leaks is 1/before - 1/after. It is
    named where its removal brings the reading from outside the limit to within it, and where what it leaks is more
    than 1/limit even at the favourable ends of both readings: then it would spoil the isolation alone.

    Parameters:
        all_connected [kilohm], IsolationReading: with every consumer connected.
        unplugged [kilohm], row of consumer and IsolationReading: after each was unplugged, in that order, the earlier
            ones left unplugged.
        limits [kilohm], row of Limit: minimum; the strictest counts, whoever gave it.
        concerns [-], row of texts: reason codes that the record adds.
    Returns:
        [-] an assessment with the findings isolation_all_connected and isolation_without_<consumer> [kilohm].
    Valid range: known consumers, each once. ``ValueError`` for anything else.
    Example:
        >>> law = Limit(kind="minimum", value=325, unit="kilohm", source="UN R100 5.1.3, as quoted",
        ...             authority="standard")
        >>> found = assess_isolation_by_consumer(
        ...     all_connected=IsolationReading(kilohm=90, uncertainty_kilohm=3),
        ...     unplugged=[("heater", IsolationReading(kilohm=92, uncertainty_kilohm=3)),
        ...                ("compressor", IsolationReading(kilohm=4000, uncertainty_kilohm=100))],
        ...     limits=[law])
        >>> found.verdict.value, found.next_steps
        ('outside', ('leak_in_compressor',))

    Source: resistances in parallel, from memory; the rule that names a consumer is the project's own.
    """
    names = [checks.choice(name="unplugged", value=name, allowed=CONSUMERS) for name, _reading in unplugged]
    if len(set(names)) != len(names):
        raise ValueError(f"The argument unplugged must name each consumer once, but it names {names!r}.")
    limit = choose_limit(limits=limits, strictest=True)
    readings = [all_connected, *(reading for _name, reading in unplugged)]
    findings = [_finding("isolation_all_connected", None, all_connected, limit, concerns)]
    findings += [
        _finding(f"isolation_without_{name}", readings[number], readings[number + 1], limit, concerns)
        for number, name in enumerate(names)
    ]
    steps = [] if limit is None else _steps(names, readings, findings, limit.value)
    return assess(findings=findings, next_steps=steps)


def _finding(
    quantity: str,
    before: IsolationReading | None,
    after: IsolationReading,
    limit: Limit | None,
    concerns: Sequence[str],
) -> Finding:
    """Judge one reading; it can't be lower than the one before unless something else was changed."""
    fell = before is not None and _ends(after)[1] < _ends(before)[0]
    return judge(
        quantity=quantity,
        value=after.kilohm,
        unit="kilohm",
        uncertainty=after.uncertainty_kilohm,
        limit=limit,
        concerns=(*concerns, *(("lower_than_before_unplugging",) if fell else ())),
        bound=after.bound,
    )


def _ends(reading: IsolationReading) -> tuple[float, float]:
    """Return the lowest and highest isolation that the reading allows; without a figure any."""
    if reading.kilohm is None:
        return 0.0, math.inf
    spread = reading.uncertainty_kilohm or 0.0
    low = 0.0 if reading.bound == "at_most" else max(reading.kilohm - spread, 0.0)
    return low, math.inf if reading.bound == "at_least" else reading.kilohm + spread


def _steps(
    names: Sequence[str], readings: Sequence[IsolationReading], findings: Sequence[Finding], minimum: float
) -> list[str]:
    """Return the consumers that leak, as steps; or, where it is outside without one, what that leaves."""
    leaking = []
    for number, name in enumerate(names):
        before, after = findings[number], findings[number + 1]
        restores = after.verdict is Verdict.WITHIN and before.verdict is Verdict.OUTSIDE
        if restores or _leaks_alone(readings[number], readings[number + 1], minimum):
            leaking.append(f"leak_in_{name}")
    if findings[-1].verdict is Verdict.OUTSIDE and not leaking:
        return ["leak_in_the_rest" if names else "unplug_one_after_the_other"]
    return leaking


def _leaks_alone(before: IsolationReading, after: IsolationReading, minimum: float) -> bool:
    """Say whether the removed consumer leaks more than the whole system may, at the favourable ends of both."""
    highest_before, lowest_after = _ends(before)[1], _ends(after)[0]
    if None in (before.uncertainty_kilohm, after.uncertainty_kilohm) or minimum <= 0.0 or lowest_after == 0.0:
        return False
    # Multiplied out, so that neither a reading of zero nor an endless one is divided by.
    return highest_before < math.inf and minimum * (1.0 - highest_before / lowest_after) > highest_before
