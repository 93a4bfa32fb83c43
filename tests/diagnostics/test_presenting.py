"""How a judged record is told: whose limit it was, and where that is written, once."""

from __future__ import annotations

from diagnostics.presenting import present_record
from tests.bench import PROOF, Bench
from tests.diagnostics.sound import SOUND


def test_a_limit_of_common_practice_says_so_once(bench: Bench) -> None:
    # 5 V of unexplained voltage: common practice, no source.
    told = present_record(bench.record("absence_of_voltage", PROOF))
    assert {one.limit_from for one in told.findings} == {"common practice, no source"}


def test_another_limit_names_who_gave_it_and_where_it_is_written(bench: Bench) -> None:
    bench.record("absence_of_voltage", PROOF)
    bonds = present_record(bench.record("interlock_bonding", SOUND["interlock_bonding"].values, state="dead"))
    # UN R100, 5.1.2.2: 0.1 ohm between exposed conductive parts.
    assert any(one.limit_from.startswith("a standard: UN R100") for one in bonds.findings)
