"""The chain: every change to a stored record is found, the first bad one is named, and a clean sheet never alarms."""

from __future__ import annotations

import json
import random
import threading

import pytest
from django.core.management import CommandError, call_command
from django.db import connection, connections

from diagnostics.chain import canonical_text, first_break
from diagnostics.models import Record, Sheet
from network.access import acting_for
from tests.bench import PROOF, WINDINGS, Bench, acting

COLUMNS = (
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


def _alter(record: Record, draw: random.Random) -> None:
    """Change one column of the stored row behind the model's back, or a figure inside the canonical text."""
    table = Record._meta.db_table
    column = draw.choice((*COLUMNS, "canonical"))
    if column == "canonical":
        body = json.loads(record.canonical)
        body["values"]["uv_milliohm"] = draw.uniform(1, 200)
        value = canonical_text(body)
    else:
        value = f"{getattr(record, column)[:8]}x"
    with connection.cursor() as cursor:
        cursor.execute(f"UPDATE {table} SET {column} = %s WHERE id = %s", [value, record.pk])


def test_a_hundred_random_changes_are_all_found_and_named(bench: Bench) -> None:
    bench.record("absence_of_voltage", PROOF)
    records = [bench.record("machine_windings", WINDINGS, remark="oil on the plug") for _ in range(10)]
    draw = random.Random(2611)
    for _round in range(100):
        record = draw.choice(records)
        kept = Record.objects.get(pk=record.pk)
        _alter(kept, draw)
        found = first_break(bench.sheet)
        assert found is not None and found.sequence in (record.sequence, record.sequence + 1)
        Record.objects.filter(pk=record.pk).update(**{c: getattr(kept, c) for c in (*COLUMNS, "canonical")})
        assert first_break(bench.sheet) is None


def test_a_record_taken_off_the_end_is_found(bench: Bench) -> None:
    bench.record("absence_of_voltage", PROOF)
    bench.record("machine_windings", WINDINGS).delete()
    found = first_break(bench.sheet)
    assert found is not None and found.sequence == 2


def test_a_record_taken_out_of_the_middle_is_found(bench: Bench) -> None:
    records = [bench.record("absence_of_voltage", PROOF) for _ in range(3)]
    records[1].delete()
    found = first_break(bench.sheet)
    assert found is not None and found.sequence == 2


def test_erasing_names_and_words_together_leaves_the_chain_whole(bench: Bench) -> None:
    record = bench.record("absence_of_voltage", PROOF, remark="in the yard")
    Record.objects.filter(pk=record.pk).update(taken_by_name="", stood_by_name="", remark="", salt="")
    assert first_break(bench.sheet) is None


def test_large_and_negative_zero_figures_keep_their_text(bench: Bench) -> None:
    # A JSON column would change 1e22 and -0.0; the canonical text may not.
    assert canonical_text({"b": -0.0, "a": 1e22}) == '{"a":1e+22,"b":-0.0}'


def test_the_command_names_the_first_bad_record_and_fails(bench: Bench) -> None:
    record = bench.record("absence_of_voltage", PROOF)
    call_command("verify_sheet", bench.sheet.pk)
    Record.objects.filter(pk=record.pk).update(verdict="outside")
    with pytest.raises(CommandError, match="Record 1"):
        call_command("verify_sheet", bench.sheet.pk)


@pytest.mark.django_db(transaction=True)
def test_eight_writers_on_one_sheet_lose_nothing() -> None:
    with acting() as bench:
        entry = bench.entry("absence_of_voltage", PROOF)
        failures: list[BaseException] = []

        def write() -> None:
            from diagnostics.recording import add_record

            try:
                with acting_for(bench.workshop):
                    for _ in range(5):
                        add_record(entry)
            except BaseException as problem:
                failures.append(problem)
            finally:
                connections.close_all()

        writers = [threading.Thread(target=write) for _ in range(8)]
        [one.start() for one in writers]
        [one.join() for one in writers]
        assert failures == []
        assert Record.objects.count() == 40
        assert first_break(bench.sheet) is None


@pytest.mark.parametrize("column", ["part_kind", "part_number", "part_serial", "occasion"])
def test_a_sheet_that_is_passed_off_as_that_of_another_part_is_found(bench: Bench, column: str) -> None:
    sheet = Sheet(title="Inverter", made_by=bench.ilse.person, part_number="LN 27", part_serial="33871")
    sheet.save()
    bench.record("power_stage_diodes", {"stage": "machine_1", "technology": "silicon"}, sheet=sheet, state="bench")
    assert first_break(sheet) is None
    Sheet.objects.filter(pk=sheet.pk).update(**{column: "machine"})
    found = first_break(Sheet.objects.get(pk=sheet.pk))
    assert found is not None and found.sequence == 1 and "part" in found.sentence


def test_the_family_that_limits_came_from_stands_in_the_record_and_may_be_another_one_later(bench: Bench) -> None:
    record = bench.record("absence_of_voltage", PROOF)
    Sheet.objects.filter(pk=bench.sheet.pk).update(family=None, title="renamed")
    assert first_break(bench.sheet) is None and record.body["family"] == str(bench.cast.family)
