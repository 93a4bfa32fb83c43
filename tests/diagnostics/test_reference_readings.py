"""Reference readings: shared without the car, taken back, and what a new reading is compared with."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from diagnostics import reference_readings, shared_copies
from diagnostics.models import Record, ReferenceReading, SharedFigures
from network.access import acting_for
from network.models import Event, Membership
from tests import cast as made
from tests.bench import PROOF, WINDINGS, Bench


def measured(bench: Bench, wu: float = 95.4, **entry: Any) -> Record:
    return bench.record("machine_windings", WINDINGS | {"wu_milliohm": wu}, state="bench", **entry)


def share(bench: Bench, record: Record, turned: str = "sound") -> SharedFigures:
    return reference_readings.share(record, by=bench.ilse, turned=turned, mileage="150")


def others(bench: Bench, workshops: int, turned: str = "sound") -> list[SharedFigures]:
    """One record of each of so many further workshops, shared; their third pairs are 95.0, 95.1, 95.2 ... milliohm."""
    found = []
    for number in range(workshops):
        member: Membership = made.make_member(
            made.make_workshop(f"Werkplaats {turned} {number}"), name=f"W {turned} {number}"
        )
        used = made.make_instrument(member.workshop, "milliohm", 200)
        sheet = made.make_sheet(member, family=bench.sheet.family)
        values = WINDINGS | {"wu_milliohm": 95.0 + number / 10}
        record = made.make_record(member, sheet, values=values, instrument_range=used, temperature_c=24.5)
        found.append(made.make_shared_figures(member, record, turned=turned))
    return found


def comparison(record: Record, quantity: str = "winding_resistance") -> reference_readings.Compared:
    return next(one for one in reference_readings.compared_record(record) if one.quantity == quantity)


def test_what_is_shared_holds_figures_and_neither_car_nor_name(bench: Bench) -> None:
    record = measured(bench, remark="zqremarkkx")
    figures = share(bench, record)
    rows = {row.quantity: row for row in figures.readings.all()}
    findings = {one["quantity"]: one for one in record.body["findings"]}
    assert {name: (row.value, row.unit) for name, row in rows.items()} == {
        name: (one["value"], one["unit"]) for name, one in findings.items()
    }
    columns = [f.name for model in (SharedFigures, ReferenceReading) for f in model._meta.concrete_fields]
    assert not {"sheet", "record", "job", "remark", "instrument", "taken_at", "subject"} & set(columns)
    assert "zqremarkkx" not in str([vars(figures), *map(vars, rows.values())])


def test_the_corrected_value_is_shared_and_not_the_one_that_was_typed(bench: Bench) -> None:
    # R20 = R (234.5 + 20) / (234.5 + t): IEC 60034-1 as in reference-values; the leads are taken off first.
    record = measured(bench)
    mean = (93.6 + 93.9 + 95.4) / 3 - 0.4
    row = share(bench, record).readings.get(quantity="winding_resistance")
    assert row.value * 1000 == pytest.approx(mean * 254.5 / (234.5 + 24.5), rel=1e-9)


def test_a_reading_is_shared_once_until_it_is_taken_back(bench: Bench) -> None:
    record = measured(bench)
    figures = share(bench, record)
    with pytest.raises(shared_copies.NotToBeShared):
        share(bench, record)
    assert reference_readings.take_back(figures, by=bench.ilse)
    assert not reference_readings.take_back(figures, by=bench.ilse)
    share(bench, record, turned="failed")
    assert list(Event.objects.filter(verb__startswith="figures").order_by("pk").values_list("verb", flat=True)) == [
        "figures_shared", "figures_taken_back", "figures_shared",
    ]  # fmt: skip


def test_what_was_doubted_corrected_or_has_no_family_is_not_shared(bench: Bench) -> None:
    doubted = bench.record("machine_windings", WINDINGS)  # no proof of absence of voltage
    first = measured(bench)
    measured(bench, replaces=first)
    alone = made.make_record(bench.ilse, made.make_sheet(bench.ilse), instrument_range=bench.ranges["milliohm"])
    unknown = measured(bench, instrument_range=None)
    with acting_for(bench.workshop):
        assert [reference_readings.can_be_shared(one) for one in (doubted, first, alone, unknown)] == [False] * 4


def test_only_the_workshop_that_shared_figures_takes_them_back(bench: Bench) -> None:
    figures = others(bench, 1)[0]
    assert not reference_readings.take_back(figures, by=bench.ilse)


def test_with_five_workshops_a_reading_stands_among_theirs(bench: Bench) -> None:
    others(bench, 5)
    found = comparison(measured(bench, 95.2))
    assert (found.workshops, found.own, found.standing and found.standing.count) == (5, False, 5)
    # 95.2 is the middle of 95.0 to 95.4: its mean at 20 °C is the median of the five, so its score is 0.
    assert found.standing and found.standing.score == pytest.approx(0.0, abs=1e-9) and not found.standing.is_far


def test_under_five_workshops_the_own_history_stands_there_instead(bench: Bench) -> None:
    others(bench, 4)
    for wu in (95.0, 95.4, 95.8):
        measured(bench, wu)
    found = comparison(measured(bench, 95.4))
    assert (found.workshops, found.own, found.standing and found.standing.count) == (4, True, 3)


def test_one_workshop_with_many_readings_is_one_workshop(bench: Bench) -> None:
    for _ in range(6):
        share(bench, measured(bench))
    assert comparison(measured(bench)).workshops == 1


def test_parts_that_failed_later_are_told_apart_and_enter_no_median(bench: Bench) -> None:
    others(bench, 5)
    others(bench, 2, turned="failed")
    found = comparison(measured(bench, 95.2))
    assert (found.standing and found.standing.count, found.failed) == (5, 2)


def test_what_was_taken_back_and_the_reading_itself_compare_with_nothing(bench: Bench) -> None:
    shared = others(bench, 6)
    record = measured(bench, 95.2)
    share(bench, record)
    for figures in shared[:2]:
        member = Membership.objects.filter(workshop=figures.shared_by_workshop).first()
        reference_readings.take_back(figures, by=member)
    assert comparison(record).workshops == 4


def test_a_far_reading_is_told_and_its_verdict_stays(bench: Bench, client_of: Callable[[Any], Any]) -> None:
    others(bench, 5)
    record = measured(bench, 101.5)
    client = client_of(bench.ilse)
    told = client.get(reverse("record", args=[record.pk])).content.decode()
    assert "5 sound readings of 5 workshops" in told and "It stands far from the others" in told
    assert "changes no verdict" in told and record.verdict == "outside"


def test_the_pages_preview_share_list_and_take_back(bench: Bench, client_of: Callable[[Any], Any]) -> None:
    bench.record("absence_of_voltage", PROOF)
    record = measured(bench)
    client = client_of(bench.ilse)
    page = reverse("record_share", args=[record.pk])
    chosen = {"turned": "sound", "mileage": "150"}
    preview = client.post(page, chosen)
    assert "exactly what" in preview.content.decode() and "150 to 200 thousand km" in preview.content.decode()
    assert client.post(page, chosen | {"act": "share", "seen": preview.context["seen"]}).status_code == 302
    assert "shares the figures of one record" in client.get(reverse("references")).content.decode()
    client.post(reverse("reference_take_back", args=[SharedFigures.objects.get().pk]))
    assert SharedFigures.objects.shown().count() == 0


def test_a_reading_is_compared_while_it_is_typed(bench: Bench, client_of: Callable[[Any], Any]) -> None:
    others(bench, 5)
    typed = {
        "state": "bench", "subject": "1", "stood_by": bench.bram.person_id, "temperature_c": "24.5",
        "instrument_range": bench.ranges["milliohm"].pk, **WINDINGS,
    }  # fmt: skip
    page = reverse("record_judge", args=[bench.sheet.pk, "machine_windings"])
    assert "5 sound readings of 5 workshops" in client_of(bench.ilse).post(page, typed).content.decode()


@pytest.mark.parametrize(
    ("km", "band"),
    [(None, ""), (0, "0"), (49_999, "0"), (50_000, "50"), (186_240, "150"), (250_000, "250"), (900_000, "250")],
)
def test_the_mileage_is_put_into_its_band(km: int | None, band: str) -> None:
    assert SharedFigures.Mileage.of(km) == band


def test_the_form_begins_with_the_band_of_the_odometer_that_was_booked_in(bench: Bench, client: Client) -> None:
    bench.record("absence_of_voltage", PROOF)
    record = bench.record("machine_windings", WINDINGS)
    client.force_login(bench.ilse.person)
    page = client.get(reverse("record_share", args=[record.pk])).content.decode()
    assert re.search(r'<option value="150" selected', page)  # 186 240 km at booking in
