"""The owner on a phone whose browser runs no scripts: from a photo of a lamp to the report, by links in mails alone."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from typing import Any

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from jobs.models import Job
from jobs.telling_owner import tell_owner
from network.access import acting_for
from network.delivery import deliver_due
from network.models import Membership
from tests import cast as made

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

OWNER = "anneke@terwold.example"


def test_an_owner_asks_agrees_and_reads_the_report_without_scripts(
    page_of: Callable[..., Page], mailbox: list[Any]
) -> None:
    cast = made.make_cast()
    made.make_place(postcode="4020")
    made.make_qualification(cast.technician.person, ["inverter"])
    owner = page_of(scripts=False)
    technician = page_of(cast.technician.person, width=1280)
    owner_sends_a_photo(owner)
    workshop_answers(technician)
    owner_takes_a_date(owner, link_in_mail(mailbox, "has answered"))
    workshop_writes_an_estimate(technician)
    owner_agrees(owner, link_in_mail(mailbox, "estimate"))
    workshop_changes_it(technician)
    owner_declines_the_change(owner, link_in_mail(mailbox, "estimate"))
    workshop_reads_what_was_said(technician)
    car_is_handed_over(cast.technician)
    owner_reads_the_report(owner, link_in_mail(mailbox, "the report"))


def link_in_mail(mails: list[Any], subject: str) -> str:
    """The path in the newest mail to the owner with this in its subject."""
    deliver_due()
    told = [mail for mail in mails if mail["To"] == OWNER and subject in mail["Subject"]]
    found = re.search(r"https?://[^/]+(/\S+)", told[-1].get_payload(decode=True).decode())
    assert found
    return found.group(1)


def fits(page: Page) -> None:
    """The page doesn't scroll sideways. (The page's own scripts are off; asking the browser from outside still works.)"""
    assert page.evaluate("document.documentElement.scrollWidth") <= 360


def owner_sends_a_photo(page: Page) -> None:
    page.goto("/")
    page.get_by_label("What seems wrong").select_option("inverter")
    page.get_by_label("Postcode or place").fill("4020")
    page.get_by_role("button", name="Show workshops").click()
    page.get_by_role("link", name="Send an enquiry to Ateliers Hautpré").click()
    fits(page)
    page.get_by_label("Vehicle: maker, model, year").fill("Lanner Vireo, 2016")
    page.get_by_label("What happens, in your words").fill("Stops uphill.")
    page.get_by_label("Does it drive").select_option("yes")
    picture = {"name": "lamp.jpg", "mimeType": "image/jpeg", "buffer": made.make_picture().data}
    page.get_by_label("Photos").set_input_files(picture)  # type: ignore[arg-type]
    page.get_by_label("Your name").fill("Anneke Terwold")
    page.get_by_label("Your e-mail").fill(OWNER)
    page.get_by_label("This workshop may keep").check()
    page.get_by_role("button", name="Send the enquiry").click()
    expect(page.locator("h1")).to_contain_text("has not answered yet")
    expect(page.locator(".photos img")).to_have_count(1)


def workshop_answers(page: Page) -> None:
    page.goto("/jobs/")
    page.get_by_role("link", name="Lanner Vireo, 2016").click()
    page.get_by_label("Your answer to the owner").fill("Bring it in; we look at it first.")
    for number in (1, 2):
        moment = timezone.localtime() + datetime.timedelta(days=number)
        page.get_by_label(f"choice {number}").fill(f"{moment:%Y-%m-%dT08:30}")
    page.get_by_role("button", name="Send the answer").click()


def owner_takes_a_date(page: Page, path: str) -> None:
    page.goto(path)
    expect(page.locator("main")).to_contain_text("Bring it in; we look at it first.")
    page.locator("button[name=moment]").nth(1).click()
    expect(page.locator("button[aria-pressed=true]")).to_contain_text("your choice")
    fits(page)


def workshop_writes_an_estimate(page: Page) -> None:
    page.goto("/jobs/")
    page.get_by_role("link", name="Lanner Vireo, 2016").click()
    page.get_by_role("link", name="Make a job of it").click()
    page.get_by_label("Registration").fill("1-LNR-208")
    page.get_by_role("button", name="Make the job").click()
    page.get_by_role("link", name="Write an estimate").click()
    page.get_by_role("button", name="Write an estimate").click()
    write_line(page, 0, words="Find the cause", quantity="1.5", price="95", tax_percent="21")
    page.get_by_role("button", name="Keep, and see what the owner will see").click()
    expect(page.locator("h1")).to_contain_text("172.43 EUR")  # 142.50 and 29.925, halves up
    page.get_by_role("button", name="Send it to the owner").click()
    expect(page.locator("h1")).to_contain_text("Version 1 waits for the owner")


def write_line(page: Page, row: int, **typed: str) -> None:
    for name, value in typed.items():
        page.locator(f"[name=line-{row}-{name}]").fill(value)


def owner_agrees(page: Page, path: str) -> None:
    page.goto(path)
    expect(page.locator("h1")).to_contain_text("asks for 172.43 EUR, with tax. Do you agree?")
    fits(page)
    page.get_by_role("button", name="I agree to 172.43 EUR").click()
    expect(page.locator(".errors")).to_contain_text("Your name")
    page.get_by_label("Your name").fill("Anneke Terwold")
    page.get_by_role("button", name="I agree to 172.43 EUR").click()
    expect(page.locator("h1")).to_contain_text("You agreed to 172.43 EUR")


def workshop_changes_it(page: Page) -> None:
    page.get_by_role("link", name="Back to the estimates").click()
    expect(page.locator("h1")).to_contain_text("The owner agreed to version 1")
    page.get_by_role("button", name="Write a new version").click()
    write_line(page, 0, quantity="2")
    write_line(page, 1, words="Fan, new", quantity="1", price="64,90")
    page.get_by_role("button", name="Keep, and see what the owner will see").click()
    page.get_by_role("button", name="Send it to the owner").click()


def owner_declines_the_change(page: Page, path: str) -> None:
    page.goto(path)
    said = page.locator("section", has_text="What changed since version 1, which was agreed to")
    expect(said).to_contain_text("Find the cause: 1.5 h × 95.00 is now 2 h × 95.00")
    expect(said).to_contain_text("new: Fan, new")
    page.get_by_label("Your name").fill("Anneke Terwold")
    page.get_by_label("If you decline").fill("Clean the old fan.")
    page.get_by_role("button", name="I decline it").click()
    expect(page.locator("h1")).to_contain_text("You declined this estimate")
    fits(page)


def workshop_reads_what_was_said(page: Page) -> None:
    page.get_by_role("link", name="Back to the estimates").click()
    expect(page.locator("h1")).to_contain_text("Until then version 1 stands, agreed: 172.43 EUR.")
    expect(page.locator("main")).to_contain_text("Clean the old fan.")
    page.get_by_role("link", name="Version 1").click()
    page.get_by_text("The text, word for word").click()
    expect(page.locator("pre")).to_contain_text("Total: 172.43 EUR")


def car_is_handed_over(by: Membership) -> None:
    """By its verbs' end; the way there is the technician's story."""
    with acting_for(by.workshop):
        Job.objects.update(handed_over_at=timezone.now())
        tell_owner(Job.objects.select_related("vehicle__customer").get(), "car_handed_over", by)


def owner_reads_the_report(page: Page, path: str) -> None:
    page.goto(path)
    expect(page.locator("h1")).to_contain_text("handed over")
    page.get_by_role("link", name="Read the report").click()
    expect(page.locator("main")).to_contain_text("Stops uphill.")
    expect(page.locator("main")).to_contain_text("What was wrong")
    fits(page)
