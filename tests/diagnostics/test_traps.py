"""Traps that the trade knows of, told by the record of each kind; each reading is the sound one with one thing changed."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from diagnostics.calculations.verdicts import Assessment
from diagnostics.kind import Kind, Value
from diagnostics.kinds import all_kinds
from diagnostics.wording import is_remark
from tests.diagnostics.sound import HYBRID, SOUND


def assessed(code: str, state: str = "", temperature_c: float | None = None, **changed: Any) -> Assessment:
    kind, sound = all_kinds()[code], SOUND[code]
    reading = sound.reading(kind, values=sound.values | changed)
    reading = replace(reading, state=state or reading.state)
    return kind.assess(replace(reading, temperature_c=temperature_c) if temperature_c is not None else reading)


def reasons(found: Assessment) -> list[str]:
    return [finding.reason for finding in found.findings]


def test_a_capacity_of_the_bench_is_none_of_a_live_car_and_the_other_way_round() -> None:
    assert reasons(assessed("battery_capacity", state="live")) == ["wrong_state"]
    assert reasons(assessed("battery_capacity", method="in_car")) == ["wrong_state"]
    assert reasons(assessed("battery_capacity", method="in_car", state="live")) == ["clear_of_limit"]


def test_a_log_that_begins_below_the_voltage_of_switching_off_counts_too_short_a_time() -> None:
    found = assessed("link_capacitor_discharge", start_v=450.0)
    assert reasons(found)[0] == "log_begins_late" and found.next_steps[0] == "log_from_switching_off"


def test_the_energy_that_is_left_is_judged_once_the_capacitance_is_typed() -> None:
    # 1000 microfarad from 80 V down to 60 V: 0.0005 (80^2 - 60^2) = 1.4 J, by hand.
    short = {"times_s": (0.0, 1.0, 2.0), "volts_v": (400.0, 160.0, 80.0)}
    energy = assessed("link_capacitor_discharge", **short).findings[1]
    assert (energy.quantity, round(energy.value or 0, 6), energy.verdict) == ("energy_left", 1.4, "outside")
    assert len(assessed("link_capacitor_discharge", **short, capacitance_microfarad=None).findings) == 1


def test_an_induction_machine_has_no_back_voltage_to_be_measured() -> None:
    assert "measure_back_voltage" in assessed("machine_windings").next_steps
    found = assessed("machine_windings", machine_type="induction")
    assert "measure_back_voltage" not in found.next_steps and "shorted_turn_not_excluded" in found.next_steps


def test_air_whose_dew_point_the_winding_has_not_left_makes_it_damp() -> None:
    # 20 °C and 80 % have their dew point at 16.4 °C (WMO-No. 8, from memory).
    air = {"air_c": 20.0, "humidity_percent": 80.0}
    assert reasons(assessed("winding_insulation", **air, temperature_c=16.0)) == ["damp"]
    assert reasons(assessed("winding_insulation", **air, temperature_c=17.0)) == ["clear_of_limit"]


def test_ten_minutes_are_a_choice_and_compare_with_one_minute_only() -> None:
    short = assessed("winding_insulation", resistance_megohm=200.0)
    assert [finding.quantity for finding in short.findings] == ["insulation_resistance"]
    long = {"resistance_megohm": 200.0, "minute_10_megohm": 700.0}
    assert reasons(assessed("winding_insulation", **long)) == ["clear_of_limit"] * 2
    assert reasons(assessed("winding_insulation", **long, seconds=90.0))[1] == "not_one_minute"
    beyond = {"resistance_megohm": Value(550.0, "at_least"), "minute_10_megohm": Value(550.0, "at_least")}
    assert len(assessed("winding_insulation", **beyond).findings) == 1


def test_conductivity_is_judged_where_it_was_read_and_needs_the_makers_limit() -> None:
    kind, sound = all_kinds()["coolant_loop"], SOUND["coolant_loop"]
    without = {name: limit for name, limit in sound.reading(kind).limits.items() if name != "coolant_conductivity"}
    found = kind.assess(sound.reading(kind, limits=without, family=HYBRID))
    assert (found.verdict, found.findings[-1].reason) == ("unproven", "no_limit")
    assert "coolant_conductivity" not in [f.quantity for f in assessed("coolant_loop", conductivity=None).findings]


@pytest.mark.parametrize("kind", list(all_kinds().values()), ids=lambda kind: kind.code)
def test_whatever_is_left_out_the_one_next_thing_to_do_is_named(kind: Kind) -> None:
    sound = SOUND[kind.code]
    for name in sound.values:
        found = kind.assess(sound.reading(kind, values=sound.values | {name: None}, concerns=("missing",)))
        assert not is_remark(found.next_steps[0]) and found.next_steps[0] != "clear_concern", name
