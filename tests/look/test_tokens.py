"""The colours hold their contrast, and nothing but the tokens holds a colour.

The formula is that of WCAG 2.2, "contrast ratio" and "relative luminance"; texts need 4.5 (success criterion 1.4.3),
graphics and edges of fields 3 (1.4.11).
"""

import re
from pathlib import Path

import pytest
from django.contrib.staticfiles import finders

SHEETS = ("tokens", "base", "frame", "parts", "charts", "pages", "narrow", "print")
TEXTS = [
    ("ink", "paper"),
    ("ink", "sheet"),
    ("ink", "well"),
    ("ink", "verdigris-wash"),
    ("soft", "paper"),
    ("soft", "sheet"),
    ("soft", "well"),
    ("verdigris", "paper"),
    ("verdigris", "sheet"),
    ("verdigris", "verdigris-wash"),
    ("on-verdigris", "verdigris"),
    ("copper", "paper"),
    ("copper", "sheet"),
    ("copper", "copper-wash"),
    ("paper", "copper"),  # the count of unread notices
    ("paper", "ink"),  # a filled button under the pointer
    ("on-hv", "hv"),
]
GRAPHICS = [
    ("firm", "paper"),
    ("firm", "sheet"),
    ("verdigris-mid", "paper"),
    ("verdigris-mid", "sheet"),
    ("copper-mid", "sheet"),
    ("ink", "paper"),
]


def css(name: str) -> str:
    found = finders.find(f"portal/css/{name}.css")
    assert found
    return re.sub(r"/\*.*?\*/", "", Path(found).read_text(), flags=re.DOTALL)


def block_after(text: str, start: int) -> str:
    """What stands between the next brace and the one that closes it."""
    opening = text.index("{", start)
    depth = 0
    for index in range(opening, len(text)):
        depth += {"{": 1, "}": -1}.get(text[index], 0)
        if depth == 0:
            return text[opening + 1 : index]
    raise AssertionError("a brace is never closed")


def colours(block: str) -> dict[str, str]:
    """Names and six-figure colours in a block; the short form is written out."""
    found = dict(re.findall(r"--([\w-]+):\s*#([0-9a-f]{3}(?:[0-9a-f]{3})?);", block))
    return {name: "".join(2 * c for c in code) if len(code) == 3 else code for name, code in found.items()}


def scheme(name: str) -> dict[str, str]:
    tokens = css("tokens")
    light = colours(block_after(tokens, tokens.index(":root")))
    if name == "dark":
        return light | colours(block_after(tokens, tokens.index("prefers-color-scheme: dark")))
    if name == "paper":
        paper = css("print")
        return light | colours(block_after(paper, paper.index(":root")))
    return light


def luminance(code: str) -> float:
    channels = [int(code[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_the_formula_gives_the_known_ratios():
    # WCAG 2.2: black on white is 21:1. #767676 on white is the well-known grey that just holds, 4.54 (from memory).
    assert contrast("000000", "ffffff") == pytest.approx(21.0)
    assert contrast("767676", "ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("name", ["light", "dark", "paper"])
@pytest.mark.parametrize("pair", TEXTS, ids="-on-".join)
def test_every_text_holds_its_contrast(name, pair):
    tokens = scheme(name)
    assert contrast(tokens[pair[0]], tokens[pair[1]]) >= 4.5


@pytest.mark.parametrize("name", ["light", "dark"])
@pytest.mark.parametrize("pair", GRAPHICS, ids="-on-".join)
def test_every_graphic_holds_its_contrast(name, pair):
    tokens = scheme(name)
    assert contrast(tokens[pair[0]], tokens[pair[1]]) >= 3.0


def test_the_dark_scheme_changes_nothing_but_known_colours():
    tokens = css("tokens")
    dark = colours(block_after(tokens, tokens.index("prefers-color-scheme: dark")))
    assert set(dark) <= set(scheme("light"))
    assert {"paper", "sheet", "well", "ink", "soft", "verdigris", "copper"} <= set(dark)


@pytest.mark.parametrize("name", [n for n in SHEETS if n not in ("tokens", "print")])
def test_no_sheet_but_the_tokens_holds_a_colour(name):
    # One exception: the ground of a code picture, which scanners need white in the dark scheme as well.
    assert set(re.findall(r"#[0-9a-fA-F]{3,8}\b|rgba?\(|hsla?\(", css(name))) <= {"#fff"}


@pytest.mark.parametrize("name", SHEETS)
def test_every_name_that_a_sheet_uses_is_a_token(name):
    known = set(re.findall(r"(--[\w-]+):", css("tokens")))
    assert set(re.findall(r"var\((--[\w-]+)", css(name))) <= known


@pytest.mark.parametrize("name", SHEETS)
def test_no_rule_shouts_over_the_layers(name):
    # CSS Cascading and Inheritance 5: between layers, "important" wins in reverse order.
    assert "!important" not in css(name)


@pytest.mark.parametrize("name", SHEETS)
def test_width_queries_leave_paper_alone(name):
    queries = re.findall(r"@media([^{]*(?:width)[^{]*)\{", css(name))
    assert all("screen and" in query for query in queries)


def test_the_layers_are_named_once_and_in_order():
    assert re.findall(r"@layer ([^;{]+);", css("tokens")) == [", ".join(SHEETS)]
    assert all(re.search(rf"@layer {name} \{{", css(name)) for name in SHEETS)
