"""A shared copy of a sheet: what the preview showed and nothing else, frozen, and taken back by its workshop only.

Outside source: none of a standard; that no name, registration or free text leaves with it is `private_text` and the
canaries below, words that stand nowhere else.
"""

from __future__ import annotations

import datetime
import re
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse

from diagnostics import shared_copies, sharing_sheets
from diagnostics.kinds import all_kinds
from diagnostics.models import Record, SharedSheet
from diagnostics.shown_copy import shown_copy
from network.models import Event
from tests.bench import PROOF, WINDINGS, Bench
from tests.diagnostics.sound import SOUND

TITLE = "Machine of a Vireo, on the bench"


def freeze(bench: Bench, **chosen: str) -> SharedSheet:
    return sharing_sheets.freeze(bench.sheet, by=bench.ilse, **{"title": TITLE} | chosen)


def test_no_name_remark_free_text_or_instrument_leaves_with_the_copy(bench: Bench) -> None:
    bench.record("absence_of_voltage", PROOF | {"points": "zqpointskx", "makers_wait": "zqwaitkx"}, remark="zqremarkkx")
    record = bench.record("machine_windings", WINDINGS)
    used = record.body["instrument"]
    text = freeze(bench).canonical
    gone = [
        record.taken_by_name,
        used["name"],
        used["serial"],
        "zqpointskx",
        "zqwaitkx",
        "zqremarkkx",
        bench.sheet.title,
    ]
    assert [word for word in gone if word and word in text] == []


def test_the_copy_keeps_figures_limits_sources_accuracy_and_the_hash_of_each_record(bench: Bench) -> None:
    bench.record("absence_of_voltage", PROOF)
    record = bench.record("machine_windings", WINDINGS)
    copied = freeze(bench).body["records"][1]
    assert copied["findings"] == record.body["findings"] and copied["hash"] == record.hash
    assert copied["instrument"]["percent_of_reading"] == record.body["instrument"]["percent_of_reading"]
    assert datetime.date.fromisoformat(copied["taken_on"])
    assert not re.search(r"\d\d:\d\d", str(copied)), "a time of day"


def test_every_kind_is_shown_from_its_copy_as_from_its_record(bench: Bench) -> None:
    kinds = all_kinds()
    records = [
        bench.record(code, SOUND[code].values, subject="1" if kind.per_subject else "") for code, kind in kinds.items()
    ]
    for record, shown in zip(records, shown_copy(freeze(bench).body).records, strict=True):
        assert (shown.hash, shown.judged.verdict) == (record.hash, record.verdict), record.kind
        assert len(shown.judged.findings) == len(record.body["findings"]) and shown.found, record.kind


def test_later_records_do_not_reach_a_copy_that_was_shared(bench: Bench) -> None:
    bench.record("machine_windings", WINDINGS, state="bench")
    copy = freeze(bench)
    bench.record("machine_windings", WINDINGS, state="bench")
    copy.refresh_from_db()
    assert len(copy.body["records"]) == 1 and copy.holds


def test_a_copy_that_was_changed_in_the_database_says_so(bench: Bench) -> None:
    bench.record("machine_windings", WINDINGS, state="bench")
    copy = freeze(bench)
    SharedSheet.objects.filter(pk=copy.pk).update(canonical=copy.canonical.replace("outside", "within") + " ")
    assert not SharedSheet.objects.get(pk=copy.pk).holds


def test_a_sheet_that_no_longer_holds_is_not_shared(bench: Bench) -> None:
    record = bench.record("machine_windings", WINDINGS, state="bench")
    Record.objects.filter(pk=record.pk).update(verdict="outside")
    with pytest.raises(shared_copies.NotToBeShared):
        freeze(bench)


def test_an_empty_sheet_is_not_shared(bench: Bench) -> None:
    with pytest.raises(shared_copies.NotToBeShared):
        freeze(bench)


@pytest.mark.parametrize(
    ("serial", "shown"), [("shortened", "…471"), ("whole", "0317-4471")], ids=["shortened", "whole"]
)
def test_the_serial_number_is_shown_as_chosen(bench: Bench, serial: str, shown: str) -> None:
    sheet = bench.sheet
    sheet.part_serial = "0317-4471"
    sheet.save()
    bench.record("machine_windings", WINDINGS, state="bench")
    copy = freeze(bench, serial=serial)
    assert copy.part_serial == copy.body["part_serial"] == shown
    assert bool(copy.flat_serial) is (serial == "whole")


def test_a_shortened_serial_number_can_not_be_made_findable(bench: Bench) -> None:
    bench.record("machine_windings", WINDINGS, state="bench")
    copy = freeze(bench)
    with pytest.raises(IntegrityError), transaction.atomic():
        SharedSheet.objects.filter(pk=copy.pk).update(flat_serial="03174471")


def preview(client: Client, bench: Bench) -> Any:
    client.force_login(bench.ilse.person)
    return client.post(reverse("sheet_share", args=[bench.sheet.pk]), {"title": TITLE})


def test_what_the_preview_shows_is_what_the_page_shows(bench: Bench, client: Client) -> None:
    bench.record("absence_of_voltage", PROOF)
    bench.record("machine_windings", WINDINGS)
    previewed = preview(client, bench)
    sent = {"title": TITLE, "act": "share", "seen": previewed.context["seen"]}
    shared = client.post(reverse("sheet_share", args=[bench.sheet.pk]), sent, follow=True)
    sheet = re.compile(r'<dl class="definitions facts">.*?</section>', re.DOTALL)
    pieces = [sheet.search(page.content.decode())[0] for page in (previewed, shared)]  # type: ignore[index]
    assert pieces[0] == pieces[1]


def test_a_record_added_since_the_preview_is_told_and_nothing_is_shared(bench: Bench, client: Client) -> None:
    bench.record("machine_windings", WINDINGS, state="bench")
    seen = preview(client, bench).context["seen"]
    bench.record("machine_windings", WINDINGS, state="bench")
    sent = {"title": TITLE, "act": "share", "seen": seen}
    answer = client.post(reverse("sheet_share", args=[bench.sheet.pk]), sent)
    assert answer.status_code == 409 and "not what the preview showed" in answer.content.decode()
    assert not SharedSheet.objects.exists()


def test_a_title_that_tells_whose_car_it_is_is_refused(bench: Bench, client: Client) -> None:
    bench.record("machine_windings", WINDINGS, state="bench")
    client.force_login(bench.ilse.person)
    # The VIN is an example of ISO 3779's layout that many references print.
    answer = client.post(reverse("sheet_share", args=[bench.sheet.pk]), {"title": "Vireo 1M8GDM9AXKP042788"})
    assert answer.status_code == 422 and "a VIN" in answer.content.decode()


def test_sharing_and_taking_back_are_events_and_happen_once(bench: Bench) -> None:
    bench.record("machine_windings", WINDINGS, state="bench")
    copy = freeze(bench)
    assert [sharing_sheets.take_back(copy, by=bench.ilse) for _again in range(2)] == [True, False]
    assert list(
        Event.objects.filter(subject_id=copy.pk, subject_type="diagnostics.sharedsheet").values_list("verb", flat=True)
    ) == ["sheet_shared", "sheet_taken_back"]
