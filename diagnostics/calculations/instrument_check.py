"""A meter read against a certified resistor: whether its deviation lies within the accuracy that it states."""

from collections.abc import Sequence

from diagnostics.calculations import checks
from diagnostics.calculations.verdicts import Assessment, Limit, assess, instrument_uncertainty, judge

SOURCE = "accuracy stated in the instrument's data sheet"
LOWEST_PART_OF_RANGE = 0.1  # of the range's end; common practice, no source: lower down only the counts are tested


def assess_instrument_check(
    *,
    reading: float,
    certified: float,
    certified_uncertainty: float,
    percent_of_reading: float,
    counts: float,
    resolution: float,
    unit: str,
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return whether an instrument reads a certified resistor within the accuracy that its data sheet states.

    Formula: deviation = abs(reading - certified), known to the certificate's U; its maximum is the accuracy at the
    certified value, certified x percent / 100 + counts x resolution. Within only if deviation + U stays below it, so
    a resistor that is known no better than the meter proves nothing.

    Parameters:
        reading [unit], scalar: what the display shows, leads taken away.
        certified [unit], scalar: value of the resistor by its certificate.
        certified_uncertainty [unit], scalar: U (k = 2) by its certificate.
        percent_of_reading [%], scalar: the "% of reading" of the data sheet.
        counts [-], scalar: the "+ digits" of the data sheet.
        resolution [unit], scalar: what the last digit is worth.
        unit [-], text: unit of the reading.
        concerns [-], row of texts: reason codes given by the caller.
    Returns:
        [unit] one finding, instrument_deviation, against its maximum.
    Valid range: a certified value and a resolution above zero, the others from zero up; ``ValueError`` for anything
        else.
    Example:
        >>> found = assess_instrument_check(reading=100.3, certified=100.02, certified_uncertainty=0.01,
        ...                                 percent_of_reading=0.25, counts=3, resolution=0.1, unit="milliohm")
        >>> found.verdict.value, round(found.findings[0].limit.value, 5)
        ('within', 0.55005)

    Source: guarded acceptance with a guard band of U, JCGM 106:2012 clause 8.3.2, from memory.
    """
    shown = checks.not_negative(name="reading", value=reading)
    value = checks.positive(name="certified", value=certified)
    allowed = instrument_uncertainty(
        reading=value,
        percent_of_reading=percent_of_reading,
        counts=counts,
        resolution=checks.positive(name="resolution", value=resolution),
    )
    finding = judge(
        quantity="instrument_deviation",
        value=abs(shown - value),
        unit=unit,
        uncertainty=checks.not_negative(name="certified_uncertainty", value=certified_uncertainty),
        limit=Limit(kind="maximum", value=allowed, unit=unit, source=SOURCE, authority="maker"),
        concerns=concerns,
    )
    return assess(findings=[finding])
