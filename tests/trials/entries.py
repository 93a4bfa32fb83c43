"""Random entries on real sheets: whatever is missing, overdue, unproved or in the wrong state, never "within".

What should stand in the way is worked out here from what was drawn, apart from the code that finds it.
`python -m tests.trials.entries [entries of each kind]`
"""

from __future__ import annotations

import datetime
import random
import sys
import time
from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from tests.trials.ground import ground

if TYPE_CHECKING:
    from diagnostics.models import InstrumentRange, Sheet, SystemFamily
    from network.models import Membership
    from tests.bench import Bench


@dataclass
class Tally:
    verdicts: Counter[str] = field(default_factory=Counter)
    bad: list[str] = field(default_factory=list)


@dataclass(frozen=True, kw_only=True)
class Ground:
    """Sheets by whether the proof stands on them and whether their limits have a source, people, instruments."""

    sheets: dict[tuple[bool, str], Sheet]
    authorised: Membership
    not_authorised: Membership
    in_date: dict[str, InstrumentRange]
    overdue: dict[str, InstrumentRange]
    # Overdue too, and read against a certified resistor: right today, right yesterday only, wrong today.
    checked: dict[str, dict[str, InstrumentRange]]


def build(bench: Bench) -> Ground:
    from django.utils import timezone

    from diagnostics import kind as declared
    from diagnostics.kinds import all_kinds
    from diagnostics.models import Sheet
    from network.models import Qualification
    from tests.bench import ISOLATION, PROOF
    from tests.diagnostics.entering import meter

    families = {"sourced": bench.sheet.family, "unsourced": a_family(bench, "Kestrel"), "none": None}
    limits_for(bench, families["sourced"], "maker's manual, edition 4")
    limits_for(bench, families["unsourced"], " ")
    sheets = {}
    for proved in ("proved", "never", "ended", "yesterday"):
        for name, family in families.items():
            sheet = Sheet(title=proved, made_by=bench.ilse.person, family=family)
            sheet.save()
            if proved != "never":
                at = timezone.now() - datetime.timedelta(days=proved == "yesterday")
                bench.record("absence_of_voltage", PROOF, sheet=sheet, taken_at=at)
            if proved == "ended":
                bench.record("vehicle_isolation", ISOLATION, sheet=sheet)
            sheets[proved == "proved", f"{name} {proved}"] = sheet
    Qualification.objects.filter(holder=bench.bram.person).update(live_work=False)
    kinds = all_kinds().values()
    units = {kind.unit for kind in kinds} | {f.unit for k in kinds for f in k.fields if isinstance(f, declared.Meter)}
    return Ground(
        sheets=sheets,
        authorised=bench.ilse,
        not_authorised=bench.bram,
        in_date={unit: meter(unit, 9000.0) for unit in units},
        overdue={unit: meter(unit, 8000.0, due_in_days=-1) for unit in units},
        checked={unit: checked_meters(bench, unit) for unit in ("milliohm", "megohm")},
    )


def checked_meters(bench: Bench, unit: str) -> dict[str, InstrumentRange]:
    from tests.cast import make_check, make_resistor
    from tests.diagnostics.entering import meter

    made = {}
    checks: tuple[tuple[str, dict[str, Any]], ...] = (
        ("today", {}),
        ("yesterday", {"days_ago": 1}),
        ("wrong", {"off": 3}),
    )
    for number, (name, how) in enumerate(checks):
        used = made[name] = meter(unit, 7000.0 + number, due_in_days=-1)
        make_check(bench.ilse, used, make_resistor(bench.ilse, used), **how)
    return made


def a_family(bench: Bench, name: str) -> SystemFamily:
    from diagnostics.models import SystemFamily

    columns = {
        f.name: getattr(bench.sheet.family, f.name) for f in SystemFamily._meta.concrete_fields if f.name != "id"
    }
    return SystemFamily.objects.create(**columns | {"name": name})


def limits_for(bench: Bench, family: SystemFamily, source: str) -> None:
    from diagnostics.kinds import all_kinds
    from diagnostics.models import FamilyLimit
    from tests.diagnostics.sound import SOUND

    FamilyLimit.objects.filter(family=family).delete()
    for kind in all_kinds().values():
        for quantity, (value, upper) in SOUND[kind.code].limits.items():
            shape, unit = kind.limitable[quantity]
            FamilyLimit.objects.create(
                family=family, kind=kind.code, quantity=quantity, shape=shape, unit=unit, value=value, upper=upper,
                source=source, authority="maker", entered_by=bench.workshop,
            )  # fmt: skip


def try_one(kind: Any, stands: Ground, draw: random.Random, tally: Tally) -> None:
    from diagnostics import kind as declared
    from diagnostics.models.sheets import CarState
    from diagnostics.recording import Entry, judge, kept_meter
    from tests.diagnostics.sound import SOUND

    def mostly(sound: Any, *others: Any) -> Any:
        return sound if draw.random() < 0.9 else draw.choice(others)

    sound = SOUND[kind.code]
    (proved, name), sheet = draw.choice(list(stands.sheets.items()))
    state = mostly(draw.choice(kind.states), *CarState.values)
    person = mostly(stands.authorised, stands.not_authorised)
    beside = mostly("somebody", None) and stands.not_authorised.person
    checked = stands.checked.get(kind.unit, {})
    used = mostly(stands.in_date[kind.unit], None, stands.overdue[kind.unit], *checked.values())
    warm = mostly(sound.temperature_c, None)
    values = {one.name: sound.values.get(one.name) for one in kind.fields}
    doubts = []
    for one in kind.fields:
        if isinstance(one, declared.Meter) and values[one.name]:
            others = stands.checked.get(one.unit, {})
            second = mostly(stands.in_date[one.unit], None, stands.overdue[one.unit], *others.values())
            values[one.name] = second and kept_meter(second, kind=kind.code)
            counts = (stands.in_date[one.unit], others.get("today", "none"))
            doubts += [f"meter {one.name}"] if second not in counts else []
        elif getattr(one, "required", False) and draw.random() < 0.3 / len(kind.fields):
            values[one.name] = None
            doubts.append(f"missing {one.name}")
    doubts += [f"state {state}"] if state not in kind.states else []
    doubts += ["no proof"] if state == "dead" and not proved and kind.code != "absence_of_voltage" else []
    doubts += ["alone"] if beside is None and (state == "live" or kind.second_person) else []
    doubts += ["not authorised"] if state == "live" and person is stands.not_authorised else []
    counts = (stands.in_date[kind.unit], checked.get("today", "none"))
    doubts += ["instrument"] if kind.needs_instrument and used not in counts else []
    doubts += ["no temperature"] if kind.needs_temperature and warm is None else []
    doubts += ["no sourced limit"] if sound.limits and not name.startswith("sourced") else []
    doubts += ["from the bench, of a live car"] if kind.code == "battery_capacity" and state == "live" else []
    doubts += ["pilot of a dead car"] if kind.code == "charge_inlet" and state == "dead" else []
    entry = Entry(
        sheet=sheet, kind=kind, taken_by=person, stood_by=beside, state=state, values=values, instrument_range=used,
        temperature_c=warm, subject="1" if kind.per_subject else "",
    )  # fmt: skip
    verdict = judge(entry)[1].verdict
    tally.verdicts[f"{kind.code} {verdict}"] += 1
    if doubts and verdict == "within":
        tally.bad.append(f"{kind.code}: within, although {', '.join(doubts)}")
    # Fewer limits (no family) or none at all may leave too little to tell; nothing else may.
    if not doubts and verdict != "within" and not name.startswith("none"):
        tally.bad.append(f"{kind.code}: {verdict}, although nothing stands in the way on sheet {name} in state {state}")


def run(each: int, seed: int = 2611) -> Tally:
    from diagnostics.kinds import all_kinds
    from tests.bench import acting

    tally = Tally()
    with acting() as bench:
        stands = build(bench)
        for kind in all_kinds().values():
            draw = random.Random(f"{seed} {kind.code}")
            for _ in range(each):
                try_one(kind, stands, draw, tally)
    return tally


def main() -> int:
    began = time.monotonic()
    with ground():
        tally = run(int(sys.argv[1]) if len(sys.argv) > 1 else 1_000)
    for problem, times in Counter(tally.bad).most_common(20):
        print(f"{times} x {problem}")
    print(
        f"{sum(n for name, n in tally.verdicts.items() if name.endswith('within'))} within; {time.monotonic() - began:.0f} s"
    )
    print(f"{sum(tally.verdicts.values())} tried, {len(tally.bad)} bad")
    return 1 if tally.bad else 0


if __name__ == "__main__":
    sys.exit(main())
