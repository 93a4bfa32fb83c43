"""A second workshop in a real browser: it finds another's outcome, confirms it, and answers a follow-up by one press."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from jobs import following, sharing
from network.access import acting_for
from network.delivery import deliver_due
from network.models import Membership
from tests.cast import make_cast

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def share(by: Membership, symptom: str, months: int) -> None:
    """A repair from the workshop's own books, so many months old today."""
    with acting_for(by.workshop):
        sharing.share_earlier(
            by=by, symptom=symptom, cause="Duct of the fan blocked", repair_method="power_stage_replaced", family=None,
            part_kind="inverter", repaired_on=following.months_after(timezone.localdate(), -months),
            known_as="book 118", codes=["P0A94"],
        )  # fmt: skip


def test_a_second_workshop_finds_the_outcome_and_answers_a_follow_up(
    page_of: Callable[..., Page], mailbox: list[Any]
) -> None:
    cast = make_cast()
    share(cast.technician, "Stops uphill when warm", 1)
    share(cast.member_of_b, "Jerks at pull-away", 6)
    following.ask_due()
    deliver_due()
    page = page_of(cast.member_of_b.person)
    finds_and_confirms(page)
    answers_the_follow_up(page, link_in_mail(mailbox, cast.member_of_b.person.email))


def finds_and_confirms(page: Page) -> None:
    page.goto("/outcomes/")
    page.get_by_label("System family, trouble code or part number").fill("P0A94")
    page.get_by_role("button", name="Look").click()
    page.get_by_role("link", name="Stops uphill when warm").click()
    page.get_by_role("link", name="Confirm or contradict it").click()
    page.get_by_label("From your own repairs").select_option("yes")
    page.get_by_label("What you saw yourselves").fill("Two of ours had the same duct blocked.")
    page.get_by_role("button", name="Say it").click()
    expect(page.locator(".listing")).to_contain_text("Two of ours had the same duct blocked.")


def link_in_mail(mails: list[Any], address: str) -> str:
    told = [mail for mail in mails if mail["To"] == address and "does it still run" in mail["Subject"]]
    assert len(told) == 1
    found = re.search(r"/follow-ups/\d+/", told[0].get_payload(decode=True).decode())
    assert found
    return found.group(0)


def answers_the_follow_up(page: Page, path: str) -> None:
    page.goto("/waiting/")
    expect(page.locator("h1")).to_contain_text("One thing waits for us")
    page.goto(path)
    expect(page.locator("h1")).to_contain_text("6 months on: does it still run?")
    page.get_by_label("Odometer, km").fill("191007")
    page.get_by_role("button", name="It still runs").click()
    expect(page.locator("h1")).to_contain_text("It ran 6 months on.")
    page.goto("/waiting/")
    expect(page.locator("h1")).to_contain_text("Nothing waits for us.")
