"""How warm a device gets under load, and whether it had stopped getting warmer when the run ended."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from diagnostics.calculations import checks
from diagnostics.calculations.observations import assess_with_steps
from diagnostics.calculations.verdicts import Assessment, Limit, choose_limit, judge, propagate

LAST_PART = 0.25  # of the run, in which the climb is looked for; the project's own rule
FEWEST_SAMPLES = 3  # in that part; with fewer a climb can't be told from a reading that is off
STEP_FOR_REASON = {"still_climbing": "run_until_temperature_settles", "run_too_short": "run_until_temperature_settles"}


def assess_load_run(
    *,
    times_s: checks.Row,
    inlet_c: checks.Row,
    device_c: checks.Row,
    uncertainty_k: float | None = None,
    settled_k: float = 1.0,
    limits: Sequence[Limit] = (),
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return whether a device stays cool enough under load, above the coolant or air that it is cooled with.

    Formula: the highest rise = device - inlet of the run counts, U(rise) = sqrt(2) U. It is still climbing where the
    least-squares line through the rise in the last quarter of the run climbs by more than settled_k; then the highest
    rise is "at least": beyond a maximum it is outside, below it not enough data.

    Parameters:
        times_s [s], row: time of each sample, never falling.
        inlet_c [degrees Celsius], row: coolant or air at the inlet.
        device_c [degrees Celsius], row: the device.
        uncertainty_k [K], scalar or None: U (k = 2) of each temperature; None where it isn't known.
        settled_k [K], scalar: climb over the last quarter of the run up to which it counts as settled; a setting.
        limits [K], row of Limit: of the rise.
        concerns [-], row of texts: reason codes that the record adds.
    Returns:
        [-] an assessment of one finding, load_run_rise; reasons of its own: still_climbing, and run_too_short where the
            last quarter holds fewer than three samples.
    Valid range: rows of one length, temperatures from absolute zero up, settled_k above zero. ``ValueError`` for
        anything else. No sample at all is a missing reading.
    Example:
        >>> maker = Limit(kind="maximum", value=45, unit="K", source="maker's sheet", authority="maker")
        >>> minutes = [0, 60, 120, 180, 240, 300, 360, 420, 480]
        >>> climbing = [40, 45, 50, 55, 60, 65, 70, 72, 74]
        >>> assess_load_run(times_s=minutes, inlet_c=[40] * 9, device_c=climbing, uncertainty_k=1.0,
        ...                 limits=[maker]).findings[0].reason
        'still_climbing'

    Source: the project's own rule; that a climb ends by what is left of it in the last quarter follows from an
        exponential with up to three time constants in the run.
    """
    times = checks.times_row(name="times_s", values=times_s)
    inlet, device = _temperatures("inlet_c", inlet_c), _temperatures("device_c", device_c)
    checks.same_length(first_name="times_s", first=times, second_name="inlet_c", second=inlet)
    checks.same_length(first_name="times_s", first=times, second_name="device_c", second=device)
    settled = checks.positive(name="settled_k", value=settled_k)
    rise, own, climbs = _highest(times, device - inlet, settled)
    finding = judge(
        quantity="load_run_rise",
        value=rise,
        unit="K",
        uncertainty=None if uncertainty_k is None else propagate(contributions=[uncertainty_k, uncertainty_k]),
        limit=choose_limit(limits=limits),
        concerns=(*own, *concerns),
        bound="at_least" if climbs else None,
    )
    if finding.reason == "bound_undecided":
        words = finding.explanation.replace("bound undecided", "it was still climbing when the run ended")
        finding = replace(finding, reason="still_climbing", explanation=words)
    return assess_with_steps(findings=[finding], step_for_reason=STEP_FOR_REASON)


def _temperatures(name: str, values: checks.Row) -> NDArray[np.float64]:
    """Return a row of temperatures, none below absolute zero."""
    plain = checks.row(name=name, values=values)
    if len(plain) > 0:
        checks.celsius(name=name, value=float(plain.min()))
    return plain


def _highest(
    times: NDArray[np.float64], rises: NDArray[np.float64], settled_k: float
) -> tuple[float | None, list[str], bool]:
    """Return the highest rise, the concerns, and whether it was still climbing at the end."""
    if len(times) == 0:
        return None, [], False
    part = LAST_PART * float(times[-1] - times[0])
    late = times >= times[-1] - part
    if len(np.unique(times[late])) < FEWEST_SAMPLES:
        return float(rises.max()), ["run_too_short"], False
    away = times[late] - times[late].mean()
    slope = float(away @ rises[late]) / float(away @ away)
    return float(rises.max()), [], slope * part > settled_k
