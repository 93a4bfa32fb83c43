"""Random changes to stored records: each is found and the first bad record named; clean sheets never alarm.

`python -m tests.trials.tampering [sheets [changes]]`, twenty records a sheet.
"""

from __future__ import annotations

import datetime
import random
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING, Any

from tests.trials.ground import ground

if TYPE_CHECKING:
    from diagnostics.models import Record, Sheet
    from tests.bench import Bench

RECORDS = 20
WORDS = (
    "kind",
    "subject",
    "state",
    "verdict",
    "taken_by_name",
    "stood_by_name",
    "remark",
    "salt",
    "hash",
    "previous_hash",
)


@dataclass
class Tally:
    clean: int = 0
    changes: Counter[str] = field(default_factory=Counter)
    bad: list[str] = field(default_factory=list)


def a_sheet(bench: Bench, number: int) -> Sheet:
    """Twenty records of several kinds, one with a log and one that corrects another."""
    from django.core.files.base import ContentFile
    from django.db import transaction

    from diagnostics.calculations.measurement_log import read_log
    from diagnostics.chain import hashlib
    from diagnostics.models import MeasurementLog, Sheet
    from tests.bench import INSULATION, ISOLATION, PROOF, WINDINGS

    sheet = Sheet(title=f"Sheet {number}", made_by=bench.ilse.person, family=bench.sheet.family)
    with transaction.atomic():
        sheet.save()
        data = b"time,voltage,current\n" + b"".join(b"%d,%d,6.5\n" % (n, 200 - n % 60) for n in range(number % 40 + 2))
        log = MeasurementLog(sheet=sheet, sha256=hashlib.sha256(data).hexdigest(), rows=2)
        log.file.save(f"{number}.csv", ContentFile(data), save=False)
        log.save()
        add: Callable[..., Record] = partial(bench.record, sheet=sheet)
        add("vehicle_isolation", ISOLATION)
        add("absence_of_voltage", PROOF, remark="in the yard")
        add("battery_capacity", {"method": "bench", "log": read_log(data=data)}, log=log)
        first = add("machine_windings", WINDINGS, remark="oil on the plug")
        add("machine_windings", WINDINGS | {"wu_milliohm": 95.6}, replaces=first)
        for more in range(RECORDS - 5):
            add("winding_insulation", INSULATION | {"resistance_megohm": 200.0 + number % 97 + more / 10})
    return sheet


def rows(sheet: Sheet) -> Any:
    from diagnostics.models import Record

    return Record.objects.filter(sheet=sheet)


@contextmanager
def changed(sheet: Sheet, draw: random.Random, others: list[Sheet]) -> Iterator[tuple[str, set[int]]]:
    """One random change to what is stored, undone afterwards: its name, and the records of which one is to be named."""
    from django.db import transaction

    at = draw.randrange(1, RECORDS + 1)
    record = rows(sheet).get(sequence=at)
    change = draw.choice(CHANGES)
    with transaction.atomic():
        kept = transaction.savepoint()
        # Whoever computes the hash of a changed record anew leaves one that holds alone: the next doesn't follow it.
        named = change(record, draw, others)
        yield change.__name__, named
        transaction.savepoint_rollback(kept)


def write(record: Record, **columns: Any) -> None:
    from diagnostics.models import Record

    Record.objects.filter(pk=record.pk).update(**columns)


def a_word(record: Record, draw: random.Random, others: list[Sheet]) -> set[int]:
    column = draw.choice(WORDS)
    old = getattr(record, column)
    letter = draw.choice("0123456789abcdef")
    place = draw.randrange(len(old)) if old else 0
    new = old[:place] + letter + old[place + 1 :]
    if new == old:
        new = old[:place] + "x" + old[place + 1 :]
    write(record, **{column: new[: record._meta.get_field(column).max_length]})
    return {record.sequence}


def a_letter_of_the_text(record: Record, draw: random.Random, others: list[Sheet]) -> set[int]:
    place = draw.randrange(len(record.canonical))
    old = record.canonical[place]
    write(record, canonical=record.canonical[:place] + ("7" if old != "7" else "8") + record.canonical[place + 1 :])
    return {record.sequence}


def a_figure_with_its_hash(record: Record, draw: random.Random, others: list[Sheet]) -> set[int]:
    from diagnostics.chain import canonical_text, hash_of

    body = record.body
    body["values"][draw.choice(sorted(body["values"]))] = draw.uniform(1, 200)
    text = canonical_text(body)
    write(record, canonical=text, hash=hash_of(text))
    return {record.sequence, record.sequence + 1}


def a_time(record: Record, draw: random.Random, others: list[Sheet]) -> set[int]:
    write(record, taken_at=record.taken_at + datetime.timedelta(seconds=draw.choice([-1, 1]) * draw.uniform(1e-5, 1e6)))
    return {record.sequence}


def a_person(record: Record, draw: random.Random, others: list[Sheet]) -> set[int]:
    write(record, taken_by_id=record.stood_by_id, stood_by_id=draw.choice([None, record.taken_by_id]))
    return {record.sequence}


def what_it_corrects(record: Record, draw: random.Random, others: list[Sheet]) -> set[int]:
    last = rows(record.sheet).get(sequence=RECORDS)
    write(record, replaces=last if record.replaces_id != last.pk else None)
    return {record.sequence}


def taken_out(record: Record, draw: random.Random, others: list[Sheet]) -> set[int]:
    from diagnostics.models import Record

    Record.objects.filter(replaces=record).update(replaces=None)
    Record.objects.filter(pk=record.pk).delete()
    corrected = {5} if record.sequence == 4 else set()
    return {record.sequence} | corrected


def exchanged(record: Record, draw: random.Random, others: list[Sheet]) -> set[int]:
    other = rows(record.sheet).exclude(pk=record.pk).order_by("?").first()
    write(other, sequence=999)
    write(record, sequence=other.sequence)
    write(other, sequence=record.sequence)
    return {min(record.sequence, other.sequence)}


def to_another_sheet(record: Record, draw: random.Random, others: list[Sheet]) -> set[int]:
    other = draw.choice([sheet for sheet in others if sheet.pk != record.sheet_id])
    write(record, sheet=other, sequence=RECORDS + 1)
    return {record.sequence}


def a_log_of_another(record: Record, draw: random.Random, others: list[Sheet]) -> set[int]:
    from diagnostics.models import MeasurementLog

    other = (
        MeasurementLog.objects.exclude(sheet=record.sheet)
        .exclude(sha256=record.log.sha256 if record.log else "")
        .first()
    )
    write(record, log=other)
    return {record.sequence}


def the_end(record: Record, draw: random.Random, others: list[Sheet]) -> set[int]:
    from diagnostics.models import Sheet

    rows(record.sheet).filter(sequence__gte=record.sequence).update(replaces=None)
    rows(record.sheet).filter(sequence__gte=record.sequence).delete()
    if draw.random() < 0.5:
        Sheet.objects.filter(pk=record.sheet_id).update(length=record.sequence - 1)
    return {record.sequence}


def the_log_itself(record: Record, draw: random.Random, others: list[Sheet]) -> set[int]:
    from diagnostics.models import MeasurementLog

    other = MeasurementLog.objects.exclude(sheet=record.sheet).order_by("pk").last()
    columns = {"file": other.file.name} if draw.random() < 0.5 else {"sha256": record.hash}
    MeasurementLog.objects.filter(sheet=record.sheet).update(**columns)
    return {3}


def the_plate(record: Record, draw: random.Random, others: list[Sheet]) -> set[int]:
    """The sheet is passed off as that of another part: its first record tells."""
    from diagnostics.models import Sheet

    column = draw.choice(("part_kind", "part_number", "part_serial", "occasion"))
    Sheet.objects.filter(pk=record.sheet_id).update(**{column: "LN 27-9"})
    return {1}


def the_head(record: Record, draw: random.Random, others: list[Sheet]) -> set[int]:
    from diagnostics.models import Sheet

    Sheet.objects.filter(pk=record.sheet_id).update(last_hash=record.previous_hash)
    return {RECORDS + 1}


CHANGES = (
    a_word, a_letter_of_the_text, a_figure_with_its_hash, a_time, a_person, what_it_corrects, taken_out, exchanged,
    to_another_sheet, a_log_of_another, the_log_itself,
    the_plate, the_head, the_end,
)  # fmt: skip


def run(sheets: int, changes: int, seed: int = 2611) -> Tally:
    """On the acting bench's database; raises nothing, tells what went wrong."""
    from diagnostics.chain import first_break
    from diagnostics.models import Sheet
    from tests.bench import acting

    tally = Tally()
    draw = random.Random(seed)
    with acting() as bench:
        made = [a_sheet(bench, number) for number in range(sheets)]
        for sheet in made:
            tally.clean += RECORDS
            if (alarm := first_break(Sheet.objects.get(pk=sheet.pk))) is not None:
                tally.bad.append(f"a clean sheet alarms: {alarm.sentence}")
        for _ in range(changes):
            sheet = draw.choice(made)
            with changed(sheet, draw, made) as (name, expected):
                found = first_break(Sheet.objects.get(pk=sheet.pk))
                tally.changes[name] += 1
                if found is None:
                    tally.bad.append(f"{name}: not found; should name {expected}")
                elif found.sequence not in expected:
                    tally.bad.append(f"{name}: names {found.sequence} instead of {expected}: {found.sentence}")
    return tally


def main() -> int:
    sheets, changes = (int(one) for one in (sys.argv[1:] + ["500", "1000"][len(sys.argv) - 1 :])[:2])
    began = time.monotonic()
    with ground():
        tally = run(sheets, changes)
    for problem, times in Counter(tally.bad).most_common(20):
        print(f"{times} x {problem}")
    print(", ".join(f"{name.replace('_', ' ')}: {times}" for name, times in sorted(tally.changes.items())))
    print(f"{tally.clean} clean records, {sum(tally.changes.values())} changes; {time.monotonic() - began:.0f} s")
    print(f"{tally.clean + sum(tally.changes.values())} tried, {len(tally.bad)} bad")
    return 1 if tally.bad else 0


if __name__ == "__main__":
    sys.exit(main())
