"""Who defines a trouble code, and codes in any text.

Outside source: the table of SAE J2012 / ISO 15031-6 as a code reader's manual quotes it (P0 and P2 standard, P1 the
maker's, P30 to P33 the maker's, P34 to P39 standard; C, B and U: 0 and 3 standard, 1 and 2 the maker's).
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnostics.calculations.code_structure import find_codes, structure

STANDARD = ("P0A94", "P2610", "P3400", "P3900", "C0040", "C3000", "B0001", "B3000", "U0100", "U3FFF")
MAKERS = ("P1A94", "P3000", "P33FF", "C1201", "C2100", "B1200", "B2799", "U1000", "U2100")


@pytest.mark.parametrize("code", STANDARD)
def test_these_the_standard_defines(code: str) -> None:
    assert structure(code=code).defined_by == "standard"


@pytest.mark.parametrize("code", MAKERS)
def test_these_the_maker_defines(code: str) -> None:
    assert structure(code=code).defined_by == "maker"


@pytest.mark.parametrize("text", ["", "P4000", "p0a94", "P0A9", "P0A945", "X0100", "P0G00"])
def test_what_is_no_code_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="trouble code"):
        structure(code=text)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("P0A94", [("P0A94", "")]),
        ("1) P0A94-1C  DC converter performance\n2) U0100:87 lost", [("P0A94", "1C"), ("U0100", "87")]),
        ("P0A78-284 and P0A78/286", [("P0A78", "284"), ("P0A78", "286")]),
        ("P3009-526;p3009-526", [("P3009", "526")]),
        ("Stored: none. Part P0A94X and serial AP0A94 are no codes", []),
        ("P0A9B17 status 24", [("P0A9B", "17")]),
    ],
)
def test_codes_are_found_in_any_text(text: str, found: list[tuple[str, str]]) -> None:
    assert [(one.code, one.detail) for one in find_codes(text=text)] == found


@given(st.text(max_size=300))
def test_no_text_breaks_it_and_every_find_is_a_code(text: str) -> None:
    for one in find_codes(text=text):
        assert structure(code=one.code).part
