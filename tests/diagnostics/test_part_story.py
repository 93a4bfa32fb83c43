"""A part followed by its plate, and the sheet that is printed whole with a code to verify it by.

That a number is the same however it is spaced is common practice, no source. The code is drawn by the library segno
(ISO/IEC 18004); here it is held that it is of the address printed beside it, not that a reader reads it.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator
from typing import Any

import pytest
from django.db import transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from diagnostics import sharing_sheets
from diagnostics.models import Sheet
from diagnostics.part_story import story
from diagnostics.plates import flat, shortened
from network.access import acting_for
from network.models import Membership
from tests.cast import Cast, make_cast, make_record, make_shared_sheet, make_sheet

pytestmark = pytest.mark.django_db
PLATE = {"part_number": "LN 27 410-0", "part_serial": "LN27-104-33871"}


@pytest.fixture(scope="module")
def cast(django_db_setup: None, django_db_blocker: Any) -> Iterator[Cast]:
    with django_db_blocker.unblock(), transaction.atomic():
        yield make_cast()
        transaction.set_rollback(True)


def sheet_of(member: Membership, occasion: str, days_ago: int, **plate: str) -> Sheet:
    sheet = make_sheet(member, f"Inverter, {occasion}", occasion=occasion, **(PLATE | plate))
    make_record(member, sheet, taken_at=timezone.now() - datetime.timedelta(days=days_ago))
    return sheet


def told(member: Membership, number: str = "", serial: str = "ln27 104 33871") -> list[tuple[str, bool]]:
    with acting_for(member.workshop):
        return [(str(s.occasion), s.own) for s in story(number=number, serial=serial, workshop=member.workshop)]


def test_bench_carriage_and_fitting_stand_in_order_of_time_whoever_measured(cast: Cast) -> None:
    ours, theirs = cast.technician, cast.member_of_b
    sheet_of(ours, "fitting", 1)
    sheet_of(ours, "carriage", 4)
    make_shared_sheet(theirs, sheet_of(theirs, "bench", 9), serial="whole")
    assert told(ours) == [("on the bench", False), ("after carriage", True), ("at fitting", True)]


def test_a_private_sheet_of_another_workshop_is_never_in_the_story(cast: Cast) -> None:
    sheet_of(cast.member_of_b, "bench", 9)
    assert told(cast.technician) == []


def test_a_copy_with_a_shortened_serial_number_is_not_found_by_the_whole_one(cast: Cast) -> None:
    make_shared_sheet(cast.member_of_b, sheet_of(cast.member_of_b, "bench", 9), serial="shortened")
    assert told(cast.technician) == []
    assert told(cast.technician, number="LN 274100", serial="") == [("on the bench", False)]


def test_a_copy_that_was_taken_back_leaves_the_story(cast: Cast) -> None:
    copy = make_shared_sheet(cast.member_of_b, sheet_of(cast.member_of_b, "bench", 9), serial="whole")
    sharing_sheets.take_back(copy, by=cast.member_of_b)
    assert told(cast.technician) == []


def test_the_same_serial_number_of_another_part_number_is_another_part(cast: Cast) -> None:
    sheet_of(cast.technician, "bench", 3, part_number="TH 31 902")
    assert told(cast.technician, number="LN 27 410-0") == []
    assert told(cast.technician) == [("on the bench", True)], (
        "by the serial alone the row is there, and names its number"
    )


@pytest.mark.parametrize("serial", ["", " -- ", "…"])
def test_nothing_on_the_plate_finds_nothing(cast: Cast, serial: str) -> None:
    make_sheet(cast.technician, "A car")  # a sheet without a plate isn't every part's
    assert told(cast.technician, serial=serial) == []


@pytest.mark.parametrize(
    ("serial", "kept"), [("", ""), ("7", "…"), ("77", "…7"), ("12345", "…45"), ("LN27-104-33871", "…871")]
)
def test_a_shortened_serial_number_keeps_at_most_half_of_it(serial: str, kept: str) -> None:
    assert shortened(serial) == kept and len(flat(kept)) <= len(serial) / 2


def test_the_printed_sheet_names_who_with_what_from_where_and_how_to_verify_it(cast: Cast, client: Client) -> None:
    sheet = sheet_of(cast.technician, "bench", 0)
    client.force_login(cast.technician.person)
    page = client.get(reverse("sheet_whole", args=[sheet.pk])).content.decode()
    for words in (cast.technician.person.name, PLATE["part_serial"], "not named", sheet.last_hash, "Place and date"):
        assert words in page, words
    address = re.search(r"<title>(http[^<]*verify[^<]*)</title>", page)
    assert address and address[1].endswith(f"/verify/?hash={sheet.last_hash}")


def test_the_code_holds_the_address_that_stands_beside_it(cast: Cast) -> None:
    import segno
    from django.conf import settings

    from diagnostics.qr import link_picture

    drawn = link_picture("verify", "hash=" + "ab" * 32)
    wanted = segno.make(f"{settings.BASE_URL}/verify/?hash={'ab' * 32}", error="m")
    assert 'class="qr"' in drawn and "style" not in drawn
    side = wanted.symbol_size(border=2)[0]
    assert f'viewBox="0 0 {side} {side}"' in drawn


def test_links_lead_from_the_part_to_a_new_sheet_with_its_plate_filled_in(cast: Cast, client: Client) -> None:
    client.force_login(cast.technician.person)
    page = client.get(reverse("part_sheets"), {"number": "LN 27 410-0", "serial": "33871"})
    [link] = re.findall(r'href="(/sheets/\?part_number[^"]*)"', page.content.decode())
    form = client.get(link.replace("&amp;", "&")).context["form"]
    assert (form["part_number"].value(), form["part_serial"].value()) == ("LN 27 410-0", "33871")
