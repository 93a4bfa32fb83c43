"""Every code that the calculations and the kinds can give has a sentence; none is a step and a remark at once."""

from __future__ import annotations

import ast
import importlib
import pkgutil
from pathlib import Path

import pytest

import diagnostics
from diagnostics import calculations
from diagnostics.calculations.isolation_by_consumer import CONSUMERS
from diagnostics.calculations.verdicts import NEXT_STEP_FOR_REASON
from diagnostics.kind import Choice, Names
from diagnostics.kinds import all_kinds
from diagnostics.wording import NEXT_STEPS, REASONS, REMARKS, is_remark, next_step_words, reason_words

FOLDER = Path(diagnostics.__file__).parent
MODULES = [
    importlib.import_module(found.name)
    for found in pkgutil.walk_packages(calculations.__path__, f"{calculations.__name__}.")
]
OWN_STEPS = {k: v for module in MODULES for k, v in getattr(module, "STEP_FOR_REASON", {}).items()}
FORBIDDEN = ("safe to work", "is safe", "passed", "ok to work", "de-energised", "roadworthy")


def codes(first: tuple[str, ...]) -> set[str]:
    """Codes that stand in the source of calculations, kinds and recording and begin with one of these."""
    files = [*(FOLDER / "calculations").rglob("*.py"), *(FOLDER / "kinds").glob("*.py"), FOLDER / "recording.py"]
    texts = {
        node.value
        for file in files
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    return {text for text in texts if text.startswith(first) and text.replace("_", "").isalnum() and text.islower()}


def test_every_reason_of_something_missing_has_a_sentence() -> None:
    found = codes(("missing_", "wrong_", "not_at_", "not_taken", "not_authorised", "overdue_", "absence_not"))
    assert len(found) > 25  # a search that finds nothing would let the next line hold
    assert found - set(REASONS) == set()


def test_every_reason_that_has_a_step_has_a_sentence_and_so_has_the_step() -> None:
    steps = NEXT_STEP_FOR_REASON | OWN_STEPS
    assert set(steps) - set(REASONS) == set()
    assert set(steps.values()) - set(NEXT_STEPS) == set()


def test_every_step_that_a_calculation_adds_has_a_sentence() -> None:
    found = codes(("stop_", "suspect_", "look_", "measure_", "clean_", "find_", "take_reading", "hold_"))
    fields = {"measure_flow"} | {field.name for kind in all_kinds().values() for field in kind.fields}
    assert len(found) > 15
    assert found - set(NEXT_STEPS) - set(REMARKS) - fields == set()
    assert {f"leak_in_{consumer}" for consumer in CONSUMERS} <= set(NEXT_STEPS)


def test_every_sign_that_can_be_chosen_has_a_sentence() -> None:
    nothing_seen = {"not_looked", "not_tried", "good", "none", "clear", "holds"}
    looks = {"wear", "lock", "level", "look", "air_path"}
    choices = [f for kind in all_kinds().values() for f in kind.fields if isinstance(f, Choice) and f.name in looks]
    assert len(choices) == 5
    assert {code for field in choices for code, _words in field.choices} - nothing_seen - set(REASONS) == set()


def test_a_step_is_either_to_be_done_or_to_be_borne_in_mind() -> None:
    assert not set(NEXT_STEPS) & set(REMARKS)
    assert is_remark("gates_not_proved") and not is_remark("take_reading")


@pytest.mark.parametrize("words", [*REASONS.values(), *NEXT_STEPS.values(), *REMARKS.values()], ids=str)
def test_it_is_a_sentence_that_promises_nothing(words: object) -> None:
    text = str(words)
    assert text[0].isupper() and text.endswith(".")
    assert not any(promise in text.lower() for promise in FORBIDDEN)


def test_a_code_of_an_older_version_is_still_told() -> None:
    assert reason_words("rusty_bolt") == "Rusty bolt."
    assert next_step_words("find_bolt") == "Find bolt."


def test_names_with_figures_in_their_code_are_found_by_their_pattern() -> None:
    names = Names({"rise_between_{}_and_{}_percent": "Rise between {} and {} %", "plain": "Plain"})
    assert names["rise_between_40_and_62.5_percent"] == "Rise between 40 and 62.5 %"
    assert names.get("plain") == "Plain" and names.get("rise_between_a_and_b_percent", "none") == "none"
    with pytest.raises(KeyError):
        names["other"]
