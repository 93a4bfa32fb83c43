"""The blocks of a battery against each other: their spread, and which of them are weak."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from diagnostics.calculations import checks
from diagnostics.calculations.observations import assess_with_steps
from diagnostics.calculations.verdicts import Assessment, Limit, Verdict, choose_limit, judge, propagate

NORMAL_MAD = 0.6745  # MAD of a normal distribution in standard deviations; Iglewicz and Hoaglin 1993, from memory
CHEMISTRIES = ("nickel", "lithium", "iron_phosphate")


@dataclass(frozen=True, kw_only=True)
class BlockSpread:
    """How far the blocks lie apart.

    Fields:
        spread_v [V], scalar: highest less lowest.
        standard_deviation_v [V], scalar: of the sample (n - 1).
    Valid range: made by ``block_spread``; nothing is checked here.
    Example:
        >>> BlockSpread(spread_v=0.3, standard_deviation_v=0.1).spread_v
        0.3

    Source: the project's own rule.
    """

    spread_v: float
    standard_deviation_v: float


def block_spread(*, volts: checks.Row) -> BlockSpread:
    """Return how far the voltages of blocks, read at one instant and current, lie apart.

    Formula: max - min, and sqrt(sum (v - mean)^2 / (n - 1)).

    Parameters:
        volts [V], row: voltage of each block.
    Returns:
        [V] spread and standard deviation.
    Valid range: two blocks or more, any finite voltage (a block may be reversed). ``ValueError`` for anything else.
    Example:
        >>> block_spread(volts=[14.0, 14.5, 15.0])
        BlockSpread(spread_v=1.0, standard_deviation_v=0.5)

    Source: no published limit was found; reference values, section 5.
    """
    plain = checks.row(name="volts", values=volts, at_least=2)
    return BlockSpread(
        spread_v=checks.carried(name="spread_v", value=float(plain.max()) - float(plain.min())),
        standard_deviation_v=checks.carried(name="standard_deviation_v", value=float(np.std(plain, ddof=1))),
    )


def weak_blocks(*, volts: checks.Row, threshold: float = 3.5, resolution_v: float = 0.0) -> tuple[int, ...]:
    """Return the positions of the blocks that are lower than the others by more than chance.

    Formula: score = 0.6745 (v - median) / MAD, MAD = median of abs(v - median), not below the resolution; weak where
    the score is below -threshold. With MAD and resolution both 0, every block below the median is weak.

    Parameters:
        volts [V], row: voltage of each block at one instant and current.
        threshold [-], scalar: the score from which on a block counts as weak.
        resolution_v [V], scalar: what the last digit of the instrument is worth.
    Returns:
        [-] positions from 0, rising; high blocks are never among them.
    Valid range: one block or more; threshold above zero, resolution from zero up. ``ValueError`` for anything else.
    Example:
        >>> weak_blocks(volts=[14.4, 14.5, 13.1, 14.4, 14.6], resolution_v=0.1)
        (2,)

    Source: Iglewicz and Hoaglin, How to Detect and Handle Outliers, 1993 (modified z-score, 3.5), from memory.
    """
    plain = checks.row(name="volts", values=volts, at_least=1)
    floor = checks.not_negative(name="resolution_v", value=resolution_v)
    bar = checks.positive(name="threshold", value=threshold)
    distance = plain - np.median(plain)
    scale = max(float(np.median(np.abs(distance))), floor)
    low = distance < 0.0 if scale == 0.0 else NORMAL_MAD * distance < -bar * scale
    return tuple(np.flatnonzero(low).tolist())


def assess_blocks(
    *,
    volts: checks.Row,
    charge_percent: float | None = None,
    chemistry: str = "nickel",
    flat_from_percent: float = 10.0,
    flat_to_percent: float = 95.0,
    percent_of_reading: float | None = None,
    counts: float = 0.0,
    resolution_v: float = 0.0,
    limits: Sequence[Limit] = (),
    concerns: Sequence[str] = (),
) -> Assessment:
    """Return whether the blocks of a battery lie close enough together.

    Formula: spread = max - min; one instrument reads all blocks, so its gain works on the spread only and counts on
    both ends: U = sqrt((percent spread / 100)^2 + 2 (counts resolution)^2).

    Parameters:
        volts [V], row: voltage of each block at one instant and current; fewer than two are a missing reading.
        charge_percent [%], scalar or None: state of charge; None where it isn't known.
        chemistry [-], text: nickel, lithium or iron_phosphate.
        flat_from_percent [%], scalar: charge from which on the voltage of iron phosphate hardly moves; a setting.
        flat_to_percent [%], scalar: charge up to which it hardly moves; a setting.
        percent_of_reading [%], scalar or None: of the instrument; None where its accuracy isn't known.
        counts [-], scalar: the "+ digits" of its data sheet.
        resolution_v [V], scalar: what its last digit is worth.
        limits [V], row of Limit: of the spread; no general limit is published.
        concerns [-], row of texts: reason codes that the record adds.
    Returns:
        [-] an assessment of one finding, block_spread. Iron phosphate on the flat part of its curve, or at an unknown
            charge, proves nothing: concern flat_curve. Next steps unless it is within:
            clean_bus_bars_and_sense_leads where the spread is outside or a block is weak, and with a single weak one
            single_exchanged_block_comes_back.
    Valid range: charge 0 to 100 %. ``ValueError`` for anything else, an unknown chemistry, and what is no finite
        number.
    Example:
        >>> maker = Limit(kind="maximum", value=1.0, unit="V", source="maker's sheet", authority="maker")
        >>> found = assess_blocks(volts=[14.4, 14.5, 13.1, 14.4, 14.6], percent_of_reading=0.5, counts=2,
        ...                       resolution_v=0.01, limits=[maker])
        >>> found.verdict.value, found.next_steps
        ('outside', ('clean_bus_bars_and_sense_leads', 'single_exchanged_block_comes_back'))

    Source: the project's own rule; the ends of the flat part are from memory.
    """
    checks.choice(name="chemistry", value=chemistry, allowed=CHEMISTRIES)
    charge = None
    if charge_percent is not None:
        charge = checks.between(name="charge_percent", value=charge_percent, lowest=0.0, highest=100.0)
    on_plateau = charge is None or flat_from_percent <= charge <= flat_to_percent
    flat = ["flat_curve"] if chemistry == "iron_phosphate" and on_plateau else []
    readable = len(checks.row(name="volts", values=volts)) > 1
    spread = block_spread(volts=volts).spread_v if readable else None
    finding = judge(
        quantity="block_spread",
        value=spread,
        unit="V",
        uncertainty=_spread_uncertainty(spread, percent_of_reading, counts, resolution_v),
        limit=choose_limit(limits=limits),
        concerns=(*flat, *concerns),
    )
    weak = weak_blocks(volts=volts, resolution_v=resolution_v) if readable and not flat else ()
    steps: list[str] = []
    if finding.verdict is not Verdict.WITHIN:
        steps += ["clean_bus_bars_and_sense_leads"] if weak or finding.verdict is Verdict.OUTSIDE else []
        steps += ["single_exchanged_block_comes_back"] if len(weak) == 1 else []
    off_plateau = {"flat_curve": "charge_or_discharge_off_the_plateau"}
    return assess_with_steps(findings=[finding], step_for_reason=off_plateau, next_steps=steps)


def _spread_uncertainty(
    spread: float | None, percent_of_reading: float | None, counts: float, resolution_v: float
) -> float | None:
    """Return U of the difference of two readings of one instrument."""
    if spread is None or percent_of_reading is None:
        return None
    gain = spread * checks.not_negative(name="percent_of_reading", value=percent_of_reading) / 100.0
    digits = checks.not_negative(name="counts", value=counts) * checks.not_negative(
        name="resolution_v", value=resolution_v
    )
    return propagate(contributions=[gain, digits, digits])
