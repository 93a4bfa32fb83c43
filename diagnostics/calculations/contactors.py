"""Contactors and precharge: coil, each contact commanded open and closed, the precharge resistor and its rise time.

Codes that ``assess_contactors`` adds to those of ``verdicts``:

=========================  ==========================================================================
reason                     meaning
=========================  ==========================================================================
open_contact_conducts      a figure, not a bound, at a contact commanded open, and no limit to judge it
next step                  meaning
stop_contact_welded        a contact commanded open was found closed: stop, the pack is connected
=========================  ==========================================================================
"""

from collections.abc import Sequence
from dataclasses import dataclass

from diagnostics.calculations import checks
from diagnostics.calculations.verdicts import (
    COMMON_PRACTICE,
    Assessment,
    Finding,
    Limit,
    assess,
    choose_limit,
    judge,
    reading_uncertainty,
)

# A contact commanded open that reads less is closed, whatever closed it. It condemns a contact, and only a reading
# beyond the meter's range is good by it alone.
OPEN_AT_LEAST = Limit(kind="minimum", value=10.0, unit="ohm", source=COMMON_PRACTICE, authority="common practice")

Accuracy = tuple[float | None, float | None, float | None]


@dataclass(frozen=True, kw_only=True)
class ContactorReadings:
    """What was read at one contactor.

    Fields:
        name [-], text: code of the contactor, such as positive, negative, precharge.
        coil_ohm [ohm], scalar or None: its coil.
        open_ohm [ohm], scalar or None: its contact, commanded open, or the figure of a bound.
        closed_ohm [ohm], scalar or None: its contact, commanded closed, or the figure of a bound.
        coil_bound [-], text or None: at_least or at_most.
        open_bound [-], text or None: at_least ("OL") or at_most.
        closed_bound [-], text or None: at_least or at_most ("< 0.01").
    Valid range: checked by ``assess_contactors``.
    Example:
        >>> ContactorReadings(name="positive", coil_ohm=35, open_ohm=4e7, closed_ohm=0.1, open_bound="at_least").name
        'positive'

    Source: the project's own rule.
    """

    name: str
    coil_ohm: float | None
    open_ohm: float | None
    closed_ohm: float | None
    coil_bound: str | None = None
    open_bound: str | None = None
    closed_bound: str | None = None


def assess_contactors(
    *,
    contactors: Sequence[ContactorReadings],
    precharge_ohm: float | None,
    rise_time_s: float | None,
    rise_time_uncertainty_s: float | None,
    percent_of_reading: float | None,
    counts: float | None,
    resolution_ohm: float | None,
    coil_limits: Sequence[Limit] = (),
    open_limits: Sequence[Limit] = (),
    closed_limits: Sequence[Limit] = (),
    precharge_limits: Sequence[Limit] = (),
    rise_time_limits: Sequence[Limit] = (),
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return what the readings of the contactors and of the precharge prove.

    Formula: each reading against its limit. A contact commanded open that reads under 10 ohm is welded, whatever
    limits were given; one that shows a bound above is judged by the strictest of 10 ohm and the limits given; one that
    shows a figure above is judged by the limits given only.

    Parameters:
        contactors [ohm], row of ContactorReadings: one for each contactor.
        precharge_ohm [ohm], scalar or None: precharge resistor.
        rise_time_s [s], scalar or None: time to 95 % of the voltage.
        rise_time_uncertainty_s [s], scalar or None: U with k = 2 of that time.
        percent_of_reading [%], scalar or None: the "% of reading" of the ohmmeter.
        counts [-], scalar or None: its "+ digits".
        resolution_ohm [ohm], scalar or None: what its last digit is worth.
        coil_limits [ohm], row of Limit: the maker's.
        open_limits [ohm], row of Limit: the maker's minimum.
        closed_limits [ohm], row of Limit: the maker's maximum.
        precharge_limits [ohm], row of Limit: the maker's.
        rise_time_limits [s], row of Limit: the maker's.
        concerns [-], row of texts: reason codes given by the caller; they don't hold the step
            stop_contact_welded back.
    Returns:
        [ohm and s] findings <name>_coil, <name>_open, <name>_closed, precharge_resistance, precharge_rise_time.
    Valid range: readings from zero up. ``ValueError`` for anything else.
    Example:
        >>> welded = ContactorReadings(name="positive", coil_ohm=35.0, open_ohm=0.02, closed_ohm=0.02)
        >>> found = assess_contactors(contactors=[welded], precharge_ohm=40, rise_time_s=0.2,
        ...     rise_time_uncertainty_s=0.01, percent_of_reading=0.5, counts=2, resolution_ohm=0.01)
        >>> found.verdict.value, found.next_steps[0]
        ('outside', 'stop_contact_welded')

    Source: a welded contact is a reason to stop: common practice, no source.
    """
    accuracy = (percent_of_reading, counts, resolution_ohm)
    findings, welded = [], False
    for one in contactors:
        findings.append(_ohms(f"{one.name}_coil", one.coil_ohm, accuracy, coil_limits, concerns, one.coil_bound))
        findings.append(_open(one, accuracy, open_limits, concerns))
        findings.append(
            _ohms(f"{one.name}_closed", one.closed_ohm, accuracy, closed_limits, concerns, one.closed_bound)
        )
        welded = welded or _reads_closed(one)
    findings.append(_ohms("precharge_resistance", precharge_ohm, accuracy, precharge_limits, concerns, None))
    findings.append(
        judge(
            quantity="precharge_rise_time",
            value=None if rise_time_s is None else checks.not_negative(name="rise_time_s", value=rise_time_s),
            unit="s",
            uncertainty=rise_time_uncertainty_s,
            limit=choose_limit(limits=rise_time_limits),
            concerns=concerns,
        )
    )
    return assess(findings=findings, next_steps=["stop_contact_welded"] if welded else [])


def _reads_closed(one: ContactorReadings) -> bool:
    """Say whether a contact commanded open reads like a closed one: for the step, which waits for no proof."""
    return one.open_ohm is not None and one.open_bound != "at_least" and one.open_ohm < OPEN_AT_LEAST.value


def _open(one: ContactorReadings, accuracy: Accuracy, limits: Sequence[Limit], concerns: Sequence[str]) -> Finding:
    """Judge a contact commanded open."""
    by_floor = _reads_closed(one) or one.open_bound == "at_least"
    if by_floor:
        limits = [OPEN_AT_LEAST] if _reads_closed(one) else [OPEN_AT_LEAST, *limits]
    told = list(concerns)
    if one.open_ohm is not None and not by_floor and len(limits) == 0:
        told.append("open_contact_conducts")
    return _ohms(f"{one.name}_open", one.open_ohm, accuracy, limits, told, one.open_bound)


def _ohms(
    quantity: str,
    ohm: float | None,
    accuracy: Accuracy,
    limits: Sequence[Limit],
    concerns: Sequence[str],
    bound: str | None,
) -> Finding:
    """Judge one resistance; the strictest limit counts, so that no limit given loosens the floor of an open contact."""
    value = None if ohm is None else checks.not_negative(name=quantity, value=ohm)
    percent, counts, resolution = accuracy
    return judge(
        quantity=quantity,
        value=value,
        unit="ohm",
        uncertainty=reading_uncertainty(
            reading=value or 0.0, percent_of_reading=percent, counts=counts, resolution=resolution
        ),
        limit=choose_limit(limits=limits, strictest=quantity.endswith("_open")),
        concerns=concerns,
        bound=bound,
    )
