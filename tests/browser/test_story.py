"""One job through the whole portal, in a real browser: from a postcode to an outcome that a third workshop finds."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from network.delivery import deliver_due
from network.models import Notice, User
from network.signing import set_code
from tests import scene

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SECRETS = ("Terwold", "anneke", "1-LNR-208", "JH2RC36", "186240")


def test_a_job_goes_from_a_postcode_to_a_shared_outcome(page_of: Callable[..., Page], mailbox: list[Any]) -> None:
    cast = scene.build()
    administrator_approves(page_of(cast.administrator, width=1280))
    people_agree(page_of, cast)
    owner_enquires(page_of())
    technician = page_of(cast.ilse)
    technician_books_in(technician)
    meters_are_entered(technician)
    weak_readings_hold(technician)
    part_is_asked_for(technician)
    colleague_answers(page_of(cast.rureifel, width=1280))
    notice_arrives(technician, mailbox)
    answer_is_accepted_and_received(technician)
    good_readings_clear(technician)
    job_is_finished_and_shared(technician)
    third_workshop_finds_it(page_of(cast.moutfort))


def administrator_approves(page: Page) -> None:
    page.goto("/applications/")
    page.get_by_role("link", name="Ateliers Hautpré").click()
    for paper in page.locator("select[name^=paper_]").all():
        paper.select_option("paper_seen")
    page.get_by_label("approve", exact=True).check()
    page.get_by_label("Reason, which the applicant reads").fill("Papers seen.")
    page.get_by_role("button", name="Decide").click()
    expect(page.locator("h1")).to_contain_text("0 applications")


def people_agree(page_of: Callable[..., Page], cast: scene.Scene) -> None:
    for person in (cast.ilse, cast.bram):
        page = page_of(person)
        page.goto("/application/")
        page.get_by_role("button", name="I belong to it").click()
        expect(page).to_have_url(re.compile("/waiting/$"))


def owner_enquires(page: Page) -> None:
    page.goto("/")
    page.get_by_label("What seems wrong").select_option("inverter")
    page.get_by_label("Postcode or place").fill("4020")
    page.get_by_role("button", name="Show workshops").click()
    expect(page.locator("h2.answer")).to_contain_text("Ateliers Hautpré")
    page.get_by_role("link", name="Send an enquiry to Ateliers Hautpré").click()
    page.get_by_label("Vehicle: maker, model, year").fill("Lanner Vireo, 2016")
    page.get_by_label("What happens, in your words").fill("Stops uphill.")
    page.get_by_label("Does it drive").select_option("yes")
    page.get_by_label("Your name").fill("Anneke Terwold")
    page.get_by_label("Your e-mail").fill("anneke@terwold.example")
    page.get_by_label("This workshop may keep").check()
    page.get_by_role("button", name="Send the enquiry").click()
    expect(page.locator("h1")).to_contain_text("has not answered yet")


def technician_books_in(page: Page) -> None:
    page.goto("/jobs/")
    page.get_by_role("link", name="Lanner Vireo, 2016").click()
    page.get_by_role("link", name="Make a job of it").click()
    page.get_by_label("System family").select_option(label="Lanner Vireo")
    page.get_by_label("Registration").fill("1-LNR-208")
    page.get_by_label("VIN").fill("JH2RC3605MM101581")
    page.get_by_label("Odometer, km").fill("186240")
    page.get_by_label("Trouble codes as found").fill("P0A94 P0A78-1C")
    page.get_by_role("button", name="Make the job").click()
    expect(page.locator("h1")).to_contain_text("Hold: maker's procedure: not yet signed")


def meters_are_entered(page: Page) -> None:
    meters = [
        ("Brisk 88", "V", "1000", "0.1"),
        ("Tarn 0317", "milliohm", "200", "0.1"),
        ("Ohmvalk", "megohm", "550", "0.1"),
        ("Toerental", "rpm", "9999", "1"),
    ]
    for name, unit, highest, one_count in meters:
        page.goto("/instruments/")
        page.get_by_label("Name on the label").fill(name)
        page.get_by_label("Serial number").fill("4471")
        page.get_by_label("Calibration due").fill("2099-01-01")
        page.get_by_label("Measures").select_option(unit)
        page.get_by_label("Range up to").fill(highest)
        page.get_by_label("Accuracy: percent of reading").fill("0.25")
        page.get_by_label("Accuracy: plus so many counts").fill("3")
        page.get_by_label("One count is worth").fill(one_count)
        page.get_by_role("button", name="Keep the instrument").click()
        expect(page.locator("h1")).to_contain_text("in date")


def open_job(page: Page, kind: str = "") -> None:
    page.goto("/jobs/")
    page.get_by_role("link", name=re.compile(r"^\d{4}-\d{3}$")).click()
    if kind:
        page.goto(f"{page.url}?open={kind}")


def record(page: Page, kind: str, instrument: str, values: dict[str, str], ticks: tuple[str, ...] = ()) -> None:
    """Enter one record on the job's page, as it is typed in the bay."""
    open_job(page, kind)
    fill_record(page, instrument, values, ticks)


def fill_record(page: Page, instrument: str, values: dict[str, str], ticks: tuple[str, ...] = ()) -> None:
    form = page.locator("#record-form")
    form.get_by_label("Who stands by").select_option(label="Bram Osselaer")
    form.get_by_label("Instrument").select_option(label=instrument)
    for name, value in values.items():
        field = form.locator(f"[name={name}]")
        if field.evaluate("e => e.tagName") == "SELECT":
            field.select_option(value)
        else:
            field.fill(value)
    for name in ticks:
        form.locator(f"[name={name}]").check()
    form.get_by_role("button", name="Keep:").click()
    expect(page.locator(".messages")).to_contain_text("Kept as record")


def sign(page: Page, step: str, words: str) -> None:
    open_job(page)
    page.goto(f"{page.url.split('?')[0]}sign/{step}/")
    page.locator("textarea[name=words]").fill(words)
    page.get_by_role("button", name="Sign:").click()


ISOLATION = {
    "pole_to_pole_v": "201,6", "negative_to_body_v": "100.8", "positive_to_body_v": "100.8", "resistor_kilohm": "100.8",
    "resistor_tolerance_percent": "1", "with_resistor_v": "9.23", "monitor": "off",
}  # fmt: skip
PROOF = {
    "makers_wait": "Lanner 14-001: as written", "points": "inverter inlet", "positive_to_negative_v": "0.3",
    "positive_to_body_v": "0.1", "negative_to_body_v": "0.2",
}  # fmt: skip
FAN = {
    "air_path": "clear", "measure": "speed", "commanded_percent": "20 40 60 80", "measured": "640 1210 1880 2520",
}  # fmt: skip
WINDINGS = {"temperature_c": "24.5", "leads_milliohm": "0.4", "uv_milliohm": "93.6", "vw_milliohm": "93.9"}
INSULATION = {"temperature_c": "24.5", "test_v": "500", "seconds": "60", "filling": "dry"}


SAFE_STEPS: list[dict[str, Any]] = [
    {"done": True}, {"done": True}, {"where": "box 3"}, {"done": True},
    {"glove_class": "0", "in_date_until": "2099-01-01", "air_tested": True}, {"how": "box 3"},
    {"minutes": "0", "source": "Lanner 14-001", "done": True}, {"proving_source": "battery box"},
    {"points": "inverter inlet"},
]  # fmt: skip


def car_is_made_safe(page: Page) -> None:
    """Every step signed by code with a second person present, then the three voltages."""
    set_code(person=User.objects.get(email="ilse@hautpre.example"), code="604819")
    open_job(page)
    page.goto(f"{page.url.split('?')[0]}safe/")
    for facts in SAFE_STEPS:
        form = page.locator(".step.now form")
        for name, value in facts.items():
            field = form.locator(f"[name={name}]")
            if value is True:
                field.check()
            elif name == "glove_class":
                field.select_option(value)
            else:
                field.fill(value)
        form.get_by_label("Who signs").select_option(label="Ilse Vandamme")
        form.get_by_label("Their signing code").fill("604819")
        form.get_by_label("Second person present").select_option(label="Bram Osselaer")
        form.get_by_role("button", name="Sign:").click()
    fill_record(page, "Brisk 88, 1000 V", PROOF, ("meter_proved_before", "meter_proved_after"))
    expect(page.locator("h1")).to_contain_text("Absence of voltage is proved")


def weak_readings_hold(page: Page) -> None:
    sign(page, "makers_procedure", "Lanner 14-200, edition 2019")
    record(page, "vehicle_isolation", "Brisk 88, 1000 V", ISOLATION)
    record(page, "fan_sweep", "Toerental, 9999 rpm", FAN)
    car_is_made_safe(page)
    record(page, "machine_windings", "Tarn 0317, 200 milliohm", WINDINGS | {"wu_milliohm": "101.5"})
    waive(page, "Interlock and bonding", "measured on the day before, on paper")
    sign(page, "connectors_dry", "dry, pins straight")
    open_job(page)
    expect(page.locator("h1")).to_contain_text("Hold: machine windings: outside the entered limit")


def waive(page: Page, title: str, reason: str) -> None:
    open_job(page)
    page.goto(f"{page.url.split('?')[0]}clearance/")
    page.get_by_role("link", name=f"Waive: {title}").click()
    page.get_by_label("Why the work may go on without it").fill(reason)
    page.get_by_role("button", name=f"Waive: {title}").click()
    expect(page.locator("h1")).to_contain_text(re.compile("Hold|Clear"))


def part_is_asked_for(page: Page) -> None:
    open_job(page)
    page.goto(f"{page.url.split('?')[0]}part/")
    page.get_by_label("Part number, as printed").fill("ln 27-410 0")
    page.get_by_label("Revision marks to look for").fill("two dots")
    page.get_by_role("button", name="Ask for the part").click()
    expect(page.locator("h1")).to_contain_text("No answer yet; 2 workshops see it")


def colleague_answers(page: Page) -> None:
    page.goto("/board/?q=LN274100")
    page.get_by_role("link", name="ln 27-410 0").click()
    page.get_by_role("link", name="Answer").click()
    page.get_by_label("Your answer").select_option("have_one")
    page.get_by_label("Condition").select_option("used")
    page.get_by_label("Price", exact=True).fill("340.00")
    page.get_by_label("Freight", exact=True).fill("72.50")
    page.get_by_label("Days until it arrives").fill("7")
    page.get_by_label("Revision marks on it").fill("two dots")
    page.get_by_role("button", name="Send the answer").click()
    expect(page.locator(".compare")).to_contain_text("412.50")


def notice_arrives(page: Page, mailbox: list[Any]) -> None:
    deliver_due()
    mine = [mail for mail in mailbox if mail["To"] == "ilse@hautpre.example" and "answer about" in mail["Subject"]]
    assert len(mine) == 1
    text = mine[0].get_payload(decode=True).decode()
    assert "340.00 EUR and freight 72.50 EUR" in text
    assert "/board/" in text
    page.goto("/notices/")
    page.get_by_role("button", name="An answer about ln 27-410 0").click()
    expect(page.locator("h1")).to_contain_text("cheapest landed 412.50 EUR")
    assert Notice.objects.filter(person__email="ilse@hautpre.example", read_at__isnull=False).count() == 1


def answer_is_accepted_and_received(page: Page) -> None:
    page.get_by_role("button", name="Accept the answer of Hybridwerk Rureifel").click()
    page.get_by_role("group", name="The number on the part").get_by_label("as ordered").check()
    page.get_by_role("group", name="The revision marks on the part").get_by_label("as ordered").check()
    page.get_by_role("group", name="Its condition").get_by_label("as described in the answer").check()
    page.get_by_role("button", name="Keep what was seen").click()
    expect(page.locator("h1")).to_contain_text("Received: number and marks as ordered.")


def cause_is_named(page: Page) -> None:
    """With the record that shows it."""
    open_job(page)
    page.get_by_role("link", name="Cause named").click()
    page.get_by_label("What failed").fill("Switch of phase V")
    page.get_by_label("What made it fail").fill("the duct of its fan was blocked")
    page.get_by_label(re.compile("Fan sweep")).check()
    page.get_by_role("button", name="Sign").first.click()


def good_readings_clear(page: Page) -> None:
    record(page, "machine_windings", "Tarn 0317, 200 milliohm", WINDINGS | {"wu_milliohm": "95.4"})
    record(page, "winding_insulation", "Ohmvalk, 550 megohm", INSULATION | {"resistance_megohm": "> 550"})
    for step in ("phase_cables", "coding_saved", "identity", "torque_tool"):
        sign(page, step, "seen and good")
    cause_is_named(page)
    for title in ("Inductance or back-voltage", "Position sensor", "Contactors and precharge"):
        waive(page, title, "measured on the day before, on paper")
    waive(page, "Diode check of the new unit", "sealed unit of the maker")
    open_job(page)
    expect(page.locator("h1")).to_contain_text("Clear: every requirement is met, but for 5 that are waived.")


def part_is_fitted(page: Page) -> None:
    """The list at 360 px: torque typed with a comma, the tool forgotten once, all signed in one go."""
    waive_step(page, "fitting", "Interlock and bonding, measured again", "no meter for it in the house")
    page.get_by_label("Torque").nth(0).fill("9,5")
    page.get_by_role("button", name="Sign what is filled in").click()
    expect(page.locator(".errors")).to_contain_text("Name the tool")
    for field, words in (("Torque", "9,5"), ("Tool, its number", "DM-20")):
        for box in page.get_by_label(field).all():
            box.fill(words)
    for box in page.locator("textarea").all():
        box.fill("done as the maker says")
    page.get_by_role("button", name="Sign what is filled in").click()
    expect(page.locator("h1")).to_contain_text("Done: every step is done; sign it.")
    finish_list(page, "Fitted")


def repair_is_proved(page: Page) -> None:
    record(page, "vehicle_isolation", "Brisk 88, 1000 V", ISOLATION)
    record(page, "fan_sweep", "Toerental, 9999 rpm", FAN)
    for title in ("Load run with temperatures", "Battery outlook", "Codes cleared, and read again after the run"):
        waive_step(page, "proving", title, "not ordered by the owner")
    page.locator("textarea").fill("24 km, uphill, no lamp")
    page.get_by_role("button", name="Sign what is filled in").click()
    expect(page.locator("h1")).to_contain_text("Done:")
    finish_list(page, "Proved")


def waive_step(page: Page, stage: str, title: str, reason: str) -> None:
    open_job(page)
    page.goto(f"{page.url.split('?')[0].split('#')[0]}list/{stage}/")
    page.get_by_role("link", name=f"Waive: {title}").click()
    page.get_by_label("Why the work may go on without it").fill(reason)
    page.get_by_role("button", name=f"Waive: {title}").click()
    expect(page.locator("h1")).to_contain_text(re.compile("steps done|Done:"))


def finish_list(page: Page, name: str) -> None:
    page.get_by_role("link", name=f"Sign: {name}").click()
    page.get_by_role("button", name=f"Sign: {name}").click()


def job_is_finished_and_shared(page: Page) -> None:
    part_is_fitted(page)
    repair_is_proved(page)
    sign(page, "handed_over", "Told")
    with page.expect_download() as download:
        page.goto(f"{page.url.split('#')[0]}report/")
        page.get_by_role("link", name="The report as PDF").click()
    assert Path(download.value.path()).read_bytes().startswith(b"%PDF")
    open_job(page)
    page.goto(f"{page.url.split('#')[0]}outcome/")
    page.get_by_label("Symptom").fill("Stops uphill, the car of Terwold")
    page.get_by_label("What was done").select_option("used_part_untested")
    page.get_by_role("button", name="Preview what will be seen").click()
    expect(page.locator(".errors")).to_contain_text("Terwold")
    page.get_by_label("Symptom").fill("Stops uphill when warm")
    page.get_by_role("button", name="Preview what will be seen").click()
    expect(page.locator("h1")).to_contain_text("exactly what every member will see")
    page.get_by_role("button", name="Share it").click()
    expect(page.locator("h1")).to_contain_text("Stops uphill when warm")


def third_workshop_finds_it(page: Page) -> None:
    for words in ("LN 27 410-0", "P0A94", "Vireo"):
        page.goto(f"/outcomes/?q={words}")
        expect(page.locator("h1")).to_contain_text("One outcome")
    page.get_by_role("link", name="Stops uphill when warm").click()
    seen = page.content()
    assert "used part, untested" in seen
    assert not [word for word in SECRETS if word.lower() in seen.lower()]
