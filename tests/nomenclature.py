"""The nomenclature of DEVELOPERS.md, made from what the kinds of record declare: `python -m tests.nomenclature`.

It writes the two tables between their marks: what is judged (each kind's `quantities`) and what is typed (its fields).
A quantity's unit is that of its findings for a sound reading, or the unit in which a family may limit it. The test
beside it fails where the tables are older than the kinds, and where one name stands for two things.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from itertools import product
from pathlib import Path
from typing import Any, NamedTuple

PAGE = Path(__file__).parents[1] / "DEVELOPERS.md"
BEGIN, END = "<!-- nomenclature: made by tests/nomenclature.py -->", "<!-- end of the nomenclature -->"


class Row(NamedTuple):
    code: str
    name: str
    unit: str
    reach: str  # what the value can be; of what is judged, which sort of limit a family may set
    kind: str


def judged() -> list[Row]:
    """Every quantity that a kind judges."""
    from diagnostics.kinds import all_kinds

    rows = []
    for kind in all_kinds().values():
        units = _units_of(kind)
        for code, name in kind.quantities.items():
            shape, limited_in = kind.limitable.get(code, ("", ""))
            rows.append(Row(code, str(name), limited_in or units.get(code, ""), shape, kind.code))
    return rows


def _units_of(kind: Any) -> dict[str, str]:
    """The unit of each quantity as it is found in a sound reading, in every state, with every choice, and rows left out."""
    from tests.diagnostics.sound import SOUND

    sound = SOUND[kind.code]
    units: dict[str, str] = {}
    for state, values in product(kind.states, _variants(kind, sound.values)):
        for finding in kind.assess(sound.reading(kind, state=state, values=values)).findings:
            units.setdefault(_declared(kind, finding.quantity), finding.unit)
    return units


def _variants(kind: Any, sound: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """The sound reading; with every figure that may be left out filled in; and with each other choice."""
    from diagnostics import kind as declared

    figures = [field for field in kind.fields if isinstance(field, declared.Figure)]
    alike = {field.unit: sound[field.name] for field in figures if sound.get(field.name) is not None}
    full = {field.name: alike[field.unit] for field in figures if field.unit in alike} | {
        name: value for name, value in sound.items() if value is not None
    }
    yield sound
    yield full
    for field in kind.fields:
        if isinstance(field, declared.Choice):
            yield from (full | {field.name: code} for code, _words in field.choices)
        if isinstance(field, declared.Figures):
            yield full | {field.name: ()}  # rows that don't fit: named as what can't be judged then


def _declared(kind: Any, found: str) -> str:
    """The code under which the kind declares a found quantity: itself, or the one with `{}` for its figure."""
    if found in dict(kind.quantities):
        return found
    for code in kind.quantities:
        if "{}" in code and re.fullmatch(code.replace("{}", r"[\d.e+-]+"), found):
            return str(code)
    raise LookupError(f"{kind.code} finds {found}, which it doesn't declare.")


def typed() -> Iterator[Row]:
    """Every field that a kind asks for."""
    from diagnostics import kind as declared
    from diagnostics.kinds import all_kinds

    for kind in all_kinds().values():
        for field in kind.fields:
            match field:
                case declared.Figure() | declared.Figures():
                    reach = _between(field.low, field.high)
                    reach += ", bounds" if getattr(field, "may_be_bound", False) else ""
                    reach += f", at most {field.most}" if isinstance(field, declared.Figures) else ""
                    unit = field.unit
                case declared.Choice():
                    unit, reach = "", ", ".join(f"`{code}`" for code, _words in field.choices)
                case declared.Tick():
                    unit, reach = "", "yes or no"
                case declared.Meter():
                    unit, reach = field.unit, "an instrument"
                case declared.Log():
                    unit, reach = "", "a log"
                case _:
                    unit, reach = "", "words"
            yield Row(field.name, str(field.label), unit, reach, kind.code)


def _between(low: float | None, high: float | None) -> str:
    if low is None and high is None:
        return "any"
    if high is None:
        return f"from {low:g}"
    return f"up to {high:g}" if low is None else f"{low:g} to {high:g}"


def tables() -> str:
    """Both tables; rows of several kinds that say the same are one."""
    return "\n".join(
        (
            BEGIN,
            "",
            "What is judged:",
            "",
            *_table(judged(), "limit of a family"),
            "",
            "What is typed:",
            "",
            *_table(list(typed()), "range"),
            "",
            END,
        )
    )


def _table(rows: list[Row], reach: str) -> list[str]:
    kinds: dict[tuple[str, ...], list[str]] = {}
    for row in rows:
        kinds.setdefault(row[:4], []).append(row.kind)
    lines = [f"| `{c}` | {n} | {u or '-'} | {r or '-'} | {', '.join(of)} |" for (c, n, u, r), of in kinds.items()]
    return [f"| code | name | unit | {reach} | kinds of record |", "|---|---|---|---|---|", *lines]


def as_written() -> str:
    """The tables that stand in DEVELOPERS.md."""
    page = PAGE.read_text(encoding="utf-8")
    return page[page.index(BEGIN) : page.index(END) + len(END)]


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    import django

    django.setup()
    page = PAGE.read_text(encoding="utf-8")
    PAGE.write_text(page.replace(as_written(), tables()), encoding="utf-8")


if __name__ == "__main__":
    main()
