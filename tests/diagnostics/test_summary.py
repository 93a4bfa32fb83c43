"""A record of many figures in one line: how many, and the one that decides."""

from __future__ import annotations

from diagnostics.summary import FEW, found_in_short, found_words, instrument_words, signs_words
from tests.bench import PROOF, Bench
from tests.diagnostics.sound import SOUND

CONTACTORS = SOUND["contactors"].values


def test_of_many_the_one_nearest_to_its_limit_is_told(bench: Bench) -> None:
    bench.record("absence_of_voltage", PROOF)
    record = bench.record("contactors", CONTACTORS, state="dead")
    margins = {one["margin_percent"]: one for one in record.body["findings"] if one["margin_percent"] is not None}
    nearest = margins[min(margins)]
    words = found_in_short(record)
    assert words.startswith(f"{len(record.body['findings'])} figures; nearest to its limit: ")
    assert found_words(record).count(words.partition(": ")[2]) >= 1
    assert f"{nearest['limit']['value']:g}" in words


def test_signs_that_were_looked_for_are_told_in_words(bench: Bench) -> None:
    record = bench.record("fan_sweep", SOUND["fan_sweep"].values)
    assert "Filter and duct: nothing found" in found_words(record)
    assert signs_words(1) == "one sign of trouble" and signs_words(3) == "3 signs of trouble"


def test_one_outside_goes_before_all_others(bench: Bench) -> None:
    bench.record("absence_of_voltage", PROOF)
    record = bench.record("contactors", CONTACTORS | {"precharge_ohm": 900.0}, state="dead")
    assert record.verdict == "outside"
    assert found_in_short(record).startswith(f"{len(record.body['findings'])} figures; Precharge resistor")


def test_a_few_are_told_whole(bench: Bench) -> None:
    record = bench.record("absence_of_voltage", PROOF)
    assert len(record.body["findings"]) <= FEW
    assert found_in_short(record) == found_words(record)


def test_an_instrument_is_told_with_its_day_as_everywhere_and_one_count_as_one() -> None:
    kept = {
        "unit": "V", "highest": 600.0, "percent_of_reading": 0.5, "counts": 1.0, "resolution": 0.1,
        "calibration_due": "2027-06-23",
    }  # fmt: skip
    assert instrument_words(kept) == (
        "range 600 V: 0.5 % of reading plus 1 count of 0.1 V; calibration due 23 June 2027"
    )
    named = kept | {"name": "Meter", "serial": "M-1", "counts": 3.0, "calibration_due": None}
    assert instrument_words(named) == (
        "Meter, serial M-1, range 600 V: 0.5 % of reading plus 3 counts of 0.1 V; no calibration date"
    )
    assert instrument_words(None) == "not named"
