"""Random records of every kind: never "within" on a doubt, and never anything but "not enough data" at a limit.

Each record is a sound one with its figures moved, its instrument, family and limits drawn anew. Then one thing is taken
from it (an instrument, a temperature, a proof, a source, a state ...), and one of its limits is moved to where the
interval of the reading just touches it. `python -m tests.trials.records [records of each kind]`
"""

from __future__ import annotations

import math
import random
import sys
import time
from collections import Counter
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from diagnostics import kind as declared
from diagnostics.calculations.measurement_log import MeasurementLog
from diagnostics.calculations.verdicts import Assessment, Finding, Limit, Verdict
from diagnostics.kind import Accuracy, Kind, Reading, Value
from diagnostics.kinds import all_kinds
from tests.diagnostics.doubts import DOUBTS
from tests.diagnostics.sound import HYBRID, METER, SOUND, limits_of

# What is outside although the interval reaches across: seen, or welded, or stuck (DEVELOPERS.md, decisions).
OUTSIDE_BY_ITSELF = {"no_rise", "shorted", "conducts_in_reverse", "open_forward"}


@dataclass
class Tally:
    tried: int = 0
    verdicts: Counter[str] = field(default_factory=Counter)
    touched: int = 0
    bad: list[str] = field(default_factory=list)


def held(figure: float, low: float | None, high: float | None) -> float:
    """Between the ends that the form lets through."""
    return max(-1e12 if low is None else low, min(figure, 1e12 if high is None else high))


def moved(figure: float, draw: random.Random) -> float:
    """The figure a little off, or anywhere at all."""
    where = draw.random()
    if where < 0.8:
        return figure * draw.uniform(0.97, 1.03)
    return figure * draw.uniform(0.1, 10.0) if where < 0.95 else draw.choice([0.0, 1e-6, -1e12, 60.0, 1e12])


def value_of(one: declared.Field, sound: Any, draw: random.Random) -> Any:
    match one:
        case declared.Figure():
            if sound is None:
                return draw.choice([None, None, held(moved(1.0, draw), one.low, one.high)])
            plain = sound.figure if isinstance(sound, Value) else sound
            bound = sound.bound if isinstance(sound, Value) else None
            if one.may_be_bound and draw.random() < 0.05:
                bound = draw.choice([None, "at_least", "at_most"])
            figure = held(moved(float(plain), draw), one.low, one.high)
            return Value(figure, bound) if bound else figure
        case declared.Figures():
            near = draw.random() < 0.8  # as a whole, and each a little: otherwise no two would ever be alike
            whole = draw.uniform(0.97, 1.03)
            row = [
                held(x * whole * draw.uniform(0.999, 1.001) if near else moved(x, draw), one.low, one.high)
                for x in map(float, sound or ())
            ]
            if row and draw.random() < 0.03:
                row.pop(draw.randrange(len(row)))
            return tuple(sorted(row)) if draw.random() < 0.03 else tuple(row)
        case declared.Choice():
            return sound if draw.random() < 0.93 else draw.choice([code for code, _words in one.choices])
        case declared.Tick():
            return bool(sound) if draw.random() < 0.95 else not sound
        case declared.Meter():
            return sound and METER | {
                "percent_of_reading": draw.choice([0.0, 0.1, 1.0]),
                "counts": draw.choice([0.0, 1.0, 3.0]),
            }
        case declared.Log():
            return a_log(draw) if draw.random() < 0.3 else None
    return sound


def a_log(draw: random.Random) -> MeasurementLog:
    times = np.cumsum([draw.uniform(1, 600) for _ in range(draw.randrange(2, 30))])
    volts = np.linspace(400, draw.uniform(10, 390), len(times))
    amperes = np.array([draw.uniform(-2, 20) for _ in times])
    return MeasurementLog(times_s=times, volts_v=volts, currents_a=amperes, gaps=draw.choice([(), (), ((0.0, 60.0),)]))


def a_reading(kind: Kind, draw: random.Random) -> Reading:
    sound = SOUND[kind.code]
    values = {one.name: value_of(one, sound.values.get(one.name), draw) for one in kind.fields}
    values = {name: value for name, value in values.items() if not (name == "log" and value is None)}
    limits = {}
    for quantity, (value, upper) in sound.limits.items():
        if draw.random() < 0.95:
            value *= draw.choice([1.0, 1.0, draw.uniform(0.8, 1.2)])
            limits[quantity] = (value, None if upper is None else max(upper, value * 1.01))
    accuracy = Accuracy(
        percent_of_reading=draw.choice([0.0, 0.1, 0.5]), counts=draw.choice([0.0, 1.0, 3.0]), resolution=draw.choice([0.001, 0.01, 0.1])
    )  # fmt: skip
    family = replace(
        HYBRID,
        drive=draw.choice(["hybrid", "hybrid", "electric"]),
        machine_type=draw.choice(["permanent_magnet", "induction"]),
    )
    warm = sound.temperature_c and draw.choice([sound.temperature_c, sound.temperature_c, draw.uniform(-20, 120)])
    return Reading(
        values=values, temperature_c=warm, accuracy=accuracy if kind.needs_instrument else None, family=family,
        limits=limits_of(kind, limits), state=draw.choice(kind.states),
    )  # fmt: skip


def ends_of(limit: Limit) -> tuple[float, float]:
    lower = -math.inf if limit.kind == "maximum" else limit.value
    return lower, limit.upper if limit.upper is not None else math.inf if limit.kind == "minimum" else limit.value


def wrong_with(finding: Finding) -> str:
    """What this finding claims and its own figures don't bear out; empty where it is right."""
    if finding.verdict is Verdict.UNPROVEN:
        return ""
    limit = finding.limit
    if finding.verdict is Verdict.OUTSIDE and finding.reason in OUTSIDE_BY_ITSELF:
        return "" if limit and limit.source.strip() and not finding.concerns else "outside by itself, with a doubt"
    if (
        limit is None
        or not limit.source.strip()
        or finding.concerns
        or finding.value is None
        or finding.uncertainty is None
    ):
        return f"{finding.verdict} without a reading, an uncertainty or a sourced limit, or with a concern"
    low = -math.inf if finding.bound == "at_most" else finding.value - finding.uncertainty
    high = math.inf if finding.bound == "at_least" else finding.value + finding.uncertainty
    lower, upper = ends_of(limit)
    inside = (low > lower or lower == -math.inf) and (high < upper or upper == math.inf)
    if finding.verdict is Verdict.WITHIN and not inside:
        return f"within, but {low} to {high} reaches the limit {lower} to {upper}"
    if finding.verdict is Verdict.OUTSIDE and not (high < lower or low > upper):
        return f"outside for {finding.reason}, but {low} to {high} reaches the limit {lower} to {upper}"
    return ""


def touching(reading: Reading, finding: Finding, draw: random.Random) -> tuple[Reading, Limit] | None:
    """The same reading with the finding's limit moved to where the interval just reaches it; None where that can't be."""
    old, value, spread = finding.limit, finding.value, finding.uncertainty
    if old is None or value is None or spread is None or finding.bound:
        return None
    if old.kind == "range":
        ends = draw.choice([(value - spread - 1.0, value + spread), (value - spread, value + spread + 1.0)])
        new = replace(old, value=ends[0], upper=ends[1]) if ends[1] > ends[0] else old
    else:
        new = replace(old, value=value - spread if old.kind == "minimum" else value + spread)
    limits = {quantity: tuple(new if one == old else one for one in row) for quantity, row in reading.limits.items()}
    return (replace(reading, limits=limits), new) if limits != dict(reading.limits) else None


def try_one(kind: Kind, draw: random.Random, tally: Tally) -> None:
    reading = a_reading(kind, draw)
    assessed: Assessment = kind.assess(reading)
    tally.tried += 1
    tally.verdicts[f"{kind.code} {assessed.verdict}"] += 1
    for finding in assessed.findings:
        if wrong := wrong_with(finding):
            tally.bad.append(f"{kind.code}, {finding.quantity}: {wrong}")
    doubt = draw.choice(DOUBTS)
    doubtful = doubt(kind, reading)
    if doubtful is not None and kind.assess(doubtful).verdict is Verdict.WITHIN:
        tally.bad.append(f"{kind.code}: within with the doubt {doubt.__name__}: {doubtful}")
    finding = draw.choice(assessed.findings)
    if moved_to := touching(reading, finding, draw):
        again, limit = moved_to
        for same in kind.assess(again).findings:
            if same.quantity == finding.quantity and same.limit == limit and same.value == finding.value:
                tally.touched += 1
                if same.verdict is not Verdict.UNPROVEN and same.reason not in OUTSIDE_BY_ITSELF:
                    tally.bad.append(
                        f"{kind.code}, {same.quantity}: {same.verdict} although {same.value} ± {same.uncertainty} touches {limit}"
                    )


def run(each: int, seed: int = 2611) -> Tally:
    tally = Tally()
    for kind in all_kinds().values():
        draw = random.Random(f"{seed} {kind.code}")
        for _ in range(each):
            try_one(kind, draw, tally)
    return tally


def main() -> int:
    import django

    django.setup()
    began = time.monotonic()
    tally = run(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000)
    for problem, times in Counter(tally.bad).most_common(20):
        print(f"{times} x {problem}")
    for code in all_kinds():
        print(code, *(f"{v}: {tally.verdicts[f'{code} {v}']}" for v in Verdict), sep="\t")
    print(f"{tally.touched} readings touched their limit; {time.monotonic() - began:.0f} s")
    print(f"{tally.tried} tried, {len(tally.bad)} bad")
    return 1 if tally.bad else 0


if __name__ == "__main__":
    import os

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    sys.exit(main())
