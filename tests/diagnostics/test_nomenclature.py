"""One name each: the tables of DEVELOPERS.md are those of the kinds, and no name stands for two things."""

from __future__ import annotations

from collections import defaultdict

import pytest

from diagnostics import kind as declared
from diagnostics.kinds import all_kinds
from tests import nomenclature
from tests.nomenclature import Row

JUDGED, TYPED = nomenclature.judged(), list(nomenclature.typed())
# What a typed code ends with, by its unit, and the words that are a unit themselves: the house's own spelling, no source.
WHOLE_WORDS = {"seconds", "volts"}
ENDINGS = {
    "V": "_v", "A": "_a", "milliohm": "_milliohm", "ohm": "_ohm", "megohm": "_megohm", "kilohm": "_kilohm", "s": "_s",
    "°C": "_c", "rpm": "_rpm", "Ah": "_ah",
}  # fmt: skip


def test_the_tables_are_those_of_the_kinds() -> None:
    assert nomenclature.as_written() == nomenclature.tables(), "run python -m tests.nomenclature"


def test_every_quantity_and_field_of_every_kind_is_in_the_tables() -> None:
    page = nomenclature.as_written()
    for kind in all_kinds().values():
        for code in (*kind.quantities, *(field.name for field in kind.fields)):
            assert f"| `{code}` |" in page, (kind.code, code)


@pytest.mark.parametrize("rows", [JUDGED, TYPED], ids=["judged", "typed"])
def test_a_code_has_one_unit_wherever_it_stands(rows: list[Row]) -> None:
    units = defaultdict(set)
    for row in rows:
        units[row.code].add(row.unit)
    assert {code: found for code, found in units.items() if len(found) > 1} == {}


def test_everything_judged_has_its_unit() -> None:
    """Signs seen and ticked have none: their findings say "signs"."""
    assert [row.code for row in JUDGED if not row.unit] == []


def test_what_can_be_limited_is_judged_and_its_unit_is_the_findings() -> None:
    for kind in all_kinds().values():
        units = nomenclature._units_of(kind)
        for code, (_shape, unit) in kind.limitable.items():
            assert units.get(code, unit) == unit, (kind.code, code)


def test_within_one_kind_no_name_stands_for_two_things() -> None:
    for kind in all_kinds().values():
        figures = [field for field in kind.fields if isinstance(field, declared.Figure)]
        labels = [(str(field.label), field.unit) for field in figures]  # the unit stands beside the name
        assert len(set(labels)) == len(labels), kind.code
        names = [str(name) for name in kind.quantities.values()]
        assert len(set(names)) == len(names), kind.code


def test_a_typed_code_ends_with_its_unit() -> None:
    wrong = [row for row in TYPED if row.unit in ENDINGS and not row.code.endswith(ENDINGS[row.unit])]
    assert [row for row in wrong if row.reach != "an instrument" and row.code not in WHOLE_WORDS] == []
