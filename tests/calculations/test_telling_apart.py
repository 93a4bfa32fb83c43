"""Which measurement tells causes apart. Outside source: Quinlan 1986, table 1 (fourteen mornings) and section 4, which
prints the gains 0.246 (outlook), 0.029 (temperature), 0.151 (humidity) and 0.048 (windy) bits."""

from __future__ import annotations

import pytest

from diagnostics.calculations.telling_apart import best_measurement, information_gain

MORNINGS = [
    line.split()
    for line in """
sunny hot high false N
sunny hot high true N
overcast hot high false P
rain mild high false P
rain cool normal false P
rain cool normal true N
overcast cool normal true P
sunny mild high false N
sunny cool normal false P
rain mild normal false P
sunny mild normal true P
overcast mild high true P
overcast hot normal false P
rain mild high true N
""".strip().splitlines()
]
NAMES = ("outlook", "temperature", "humidity", "windy")
CLASSES = [row[4] for row in MORNINGS]


@pytest.mark.parametrize(("name", "gain"), list(zip(NAMES, (0.246, 0.029, 0.151, 0.048), strict=True)))
def test_the_gains_are_those_that_quinlan_prints(name: str, gain: float) -> None:
    found = information_gain(causes=CLASSES, findings=[row[NAMES.index(name)] for row in MORNINGS])
    assert found == pytest.approx(gain, abs=0.0011)


def test_the_best_is_the_one_that_quinlan_chooses() -> None:
    best = best_measurement(causes=CLASSES, measured=[dict(zip(NAMES, row[:4], strict=True)) for row in MORNINGS])
    assert best is not None and best[0] == "outlook"


def test_too_few_cases_or_one_cause_tell_nothing() -> None:
    three = [{"fan": "outside"}, {"fan": "within"}, {"fan": "within"}]
    assert best_measurement(causes=["a", "b", "b"], measured=three) is None
    assert best_measurement(causes=["a"] * 5, measured=[{"fan": "outside"}] * 5) is None


def test_rows_of_unequal_length_are_refused() -> None:
    with pytest.raises(ValueError, match="equal length"):
        information_gain(causes=["a"], findings=[])
    with pytest.raises(ValueError, match="equal length"):
        best_measurement(causes=["a"], measured=[])
