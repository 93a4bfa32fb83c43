"""Every kind of record typed on a phone: field by field, with a mistake that is mended, its verdict always in sight."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from diagnostics import kind as declared
from diagnostics.kind import Kind
from diagnostics.kinds import all_kinds
from diagnostics.models import FamilyLimit, InstrumentRange
from tests.bench import PROOF, WINDINGS, Bench, acting
from tests.diagnostics.entering import meter, written
from tests.diagnostics.sound import SOUND

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

# Card, Moran and Newell, The Psychology of Human-Computer Interaction, 1983, chapter 8 (the keystroke-level model):
# 1.20 s a key for the slowest, who doesn't know the keyboard; 1.10 s to point; 1.35 s to prepare for each field.
KEY_S, POINT_S, PREPARE_S = 1.20, 1.10, 1.35


@pytest.fixture
def bench(settings: Any) -> Iterator[Bench]:
    with acting() as made:
        yield made


def as_typed(bench: Bench, kind: Kind) -> dict[str, str]:
    """Each field's text, or a choice's value, in the order in which they are asked."""
    sound = SOUND[kind.code]
    first = {"state": sound.state or kind.states[-1]} | ({"subject": "1"} if kind.per_subject else {})
    first["stood_by"] = str(bench.bram.person_id)
    if kind.needs_instrument:
        first["instrument_range"] = str(bench.ranges[kind.unit].pk)
    first["temperature_c"] = written(sound.temperature_c)
    for field in kind.fields:
        if isinstance(field, declared.Meter):
            used = sound.values.get(field.name)
            first[field.name] = str(bench.ranges[field.unit].pk) if used else ""
        elif not isinstance(field, declared.Log) and not getattr(field, "of_family", False):
            first[field.name] = written(sound.values.get(field.name))
    return first


def everything_limited_and_measurable(bench: Bench) -> None:
    """A meter for every unit, as fine as the sound readings ask, and every limit under which they are within."""
    for kind in all_kinds().values():
        for unit in (kind.unit, *(field.unit for field in kind.fields if isinstance(field, declared.Meter))):
            bench.ranges[unit] = InstrumentRange.objects.filter(unit=unit, highest=9000).first() or meter(unit, 9000)
        for quantity, (value, upper) in SOUND[kind.code].limits.items():
            shape, unit = kind.limitable[quantity]
            FamilyLimit.objects.create(
                family=bench.sheet.family, kind=kind.code, quantity=quantity, shape=shape, unit=unit, value=value,
                upper=upper, source="maker's manual, edition 4", authority="maker", entered_by=bench.workshop,
            )  # fmt: skip


def focused(page: Page) -> str:
    return str(page.evaluate("document.activeElement.name || ''"))


def type_in(page: Page, name: str, text: str) -> None:
    """Type into the field that has the focus, as a phone would, and go on if the form hasn't gone on by itself."""
    field = page.locator(f"#record-form [name={name}]")
    sort = field.evaluate("e => e.type")
    if sort == "select-one":
        field.select_option(text)
    elif sort == "checkbox":
        field.set_checked(text == "on")
    else:
        page.keyboard.press("ControlOrMeta+a")
        page.keyboard.insert_text(text) if text else page.keyboard.press("Delete")
    if focused(page) == name:
        page.keyboard.press("Enter" if sort in ("text", "checkbox") else "Tab")
    if focused(page) == "log":
        page.keyboard.press("Tab")


def a_mistake(kind: Kind) -> tuple[str, str]:
    """A field of the kind, and something that can't be typed there."""
    for field in kind.fields:
        if isinstance(field, declared.Figure) and field.high is not None:
            return field.name, "9e12"
        if isinstance(field, declared.Figures):
            return field.name, "1; 2; three"
    raise AssertionError(kind.code)


def seen_whole(page: Page, field: str) -> bool:
    """The verdict's line lies within the screen, and what has the focus isn't under it."""
    return bool(
        page.evaluate(
            """name => {
                const line = document.getElementById("judged-line").getBoundingClientRect();
                const box = document.querySelector(`#record-form [name=${name}]`).getBoundingClientRect();
                const foot = document.querySelector(".foot").getBoundingClientRect();
                return line.top >= 0 && line.bottom <= innerHeight && box.top >= 0 && box.bottom <= foot.top;
            }""",
            field,
        )
    )


def enter(page: Page, bench: Bench, kind: Kind) -> None:
    page.goto(f"/sheets/{bench.sheet.pk}/records/{kind.code}/")
    texts = as_typed(bench, kind)
    wrong, mistake = a_mistake(kind)
    page.locator("#record-form [name=state]").focus()
    for name, text in texts.items():
        assert focused(page) == name, f"{kind.code}: {name} should be next, not {focused(page)}"
        type_in(page, name, mistake if name == wrong else text)
    line = page.locator("#judged-line")
    expect(line).to_contain_text(re.compile(r"can.t be|is not a figure"))
    assert seen_whole(page, list(texts)[-1]), kind.code
    page.locator(f"#record-form [name={wrong}]").focus()
    type_in(page, wrong, texts[wrong])
    page.locator(f"#record-form [name={wrong}]").focus()
    expect(line).to_contain_text("within the entered limit")
    expect(line).to_be_in_viewport(ratio=1)
    assert len(line.inner_text()) > len("within the entered limit") + 10, "the sentence is missing"
    assert seen_whole(page, wrong), kind.code


def test_every_kind_is_typed_in_its_order_and_its_verdict_read_without_scrolling(
    page_of: Callable[..., Page], bench: Bench
) -> None:
    everything_limited_and_measurable(bench)
    bench.record("absence_of_voltage", PROOF)
    page = page_of(bench.ilse.person)
    for kind in all_kinds().values():
        enter(page, bench, kind)


def test_a_minimal_winding_check_takes_less_than_ninety_seconds_of_typing(
    page_of: Callable[..., Page], bench: Bench
) -> None:
    bench.record("absence_of_voltage", PROOF)
    bench.record("machine_windings", WINDINGS)
    page = page_of(bench.ilse.person)
    page.goto(f"/sheets/{bench.sheet.pk}/records/machine_windings/")
    keys = 0
    typed = {"temperature_c": "24.5", "leads_milliohm": "0.4", "uv_milliohm": "93.6", "vw_milliohm": "93.9", "wu_milliohm": "95.4"}  # fmt: skip
    page.locator("#record-form [name=temperature_c]").focus()  # one tap: all above it is as the last time
    for name, text in typed.items():
        assert focused(page) == name
        page.keyboard.type(text)
        keys += len(text)
        if focused(page) == name:
            page.keyboard.press("Enter")
            keys += 1
    expect(page.locator("#judged-line")).to_contain_text("within the entered limit")
    page.keyboard.press("Enter")  # the button that keeps the record has the focus
    keys += 1
    expect(page.locator(".messages")).to_contain_text("Kept as record 3")
    seconds = keys * KEY_S + POINT_S + (len(typed) + 1) * PREPARE_S
    print(f"{keys} keys, {len(typed)} fields, one tap: {seconds:.0f} s")
    assert seconds < 90
