"""Judging an entry: what is missing, stale or in the wrong state makes "within" impossible; records are kept."""

from __future__ import annotations

import datetime

import pytest
from django.test import Client
from django.utils import timezone

from diagnostics.kind import Value
from diagnostics.models import Record
from network.models import Qualification
from tests.bench import INSULATION, ISOLATION, PROOF, WINDINGS, Bench


def test_readings_with_everything_in_order_are_within(bench: Bench) -> None:
    bench.everything_measured()
    assert set(Record.objects.values_list("verdict", flat=True)) == {"within"}


def test_a_dead_reading_without_a_proof_is_not_enough_data(bench: Bench) -> None:
    record = bench.record("machine_windings", WINDINGS)
    assert record.verdict == "unproven"
    assert record.body["findings"][0]["reason"] == "absence_not_proved"


def test_going_live_ends_the_proof_but_not_what_was_measured_before(bench: Bench) -> None:
    bench.record("absence_of_voltage", PROOF)
    first = bench.record("machine_windings", WINDINGS)
    bench.record("vehicle_isolation", ISOLATION)
    second = bench.record("winding_insulation", INSULATION)
    assert (first.verdict, second.verdict) == ("within", "unproven")


def test_a_proof_of_yesterday_is_stale(bench: Bench) -> None:
    yesterday = timezone.now() - datetime.timedelta(days=1)
    bench.record("absence_of_voltage", PROOF, taken_at=yesterday)
    assert bench.record("machine_windings", WINDINGS).verdict == "unproven"


def test_the_wrong_state_of_the_car_is_not_enough_data(bench: Bench) -> None:
    record = bench.record("vehicle_isolation", ISOLATION, state="bench")
    assert record.body["findings"][0]["reason"] == "wrong_state"


def test_live_work_alone_is_not_enough_data(bench: Bench) -> None:
    record = bench.record("vehicle_isolation", ISOLATION, stood_by=None)
    assert record.body["findings"][0]["reason"] == "missing_second_person"


def test_live_work_without_an_authorisation_is_not_enough_data(bench: Bench) -> None:
    Qualification.objects.filter(holder=bench.ilse.person).update(live_work=False)
    assert bench.record("vehicle_isolation", ISOLATION).body["findings"][0]["reason"] == "not_authorised_live"


def test_an_overdue_instrument_proves_nothing(bench: Bench) -> None:
    meter = bench.ranges["V"].instrument
    meter.calibration_due = timezone.localdate() - datetime.timedelta(days=1)
    meter.save()
    record = bench.record("absence_of_voltage", PROOF)
    assert record.body["findings"][0]["reason"] == "overdue_instrument"


@pytest.mark.parametrize("missing", ["instrument_range", "temperature_c"])
def test_without_instrument_or_temperature_there_is_not_enough_data(bench: Bench, missing: str) -> None:
    bench.record("absence_of_voltage", PROOF)
    assert bench.record("winding_insulation", INSULATION, **{missing: None}).verdict == "unproven"


def test_a_meter_that_was_not_proved_after_proves_no_absence(bench: Bench) -> None:
    assert bench.record("absence_of_voltage", PROOF | {"meter_proved_after": False}).verdict == "unproven"


def test_more_than_60_v_says_stop_first(bench: Bench) -> None:
    # 60 V DC: upper end of what is not high voltage, FMVSS 305 final-rule text, as quoted.
    record = bench.record("absence_of_voltage", PROOF | {"positive_to_negative_v": 61.0})
    assert record.verdict == "outside"
    assert record.body["next_steps"][0] == "stop_above_60_v"


def test_isolation_is_judged_by_the_highest_working_voltage(bench: Bench) -> None:
    # 500 ohm/V x 650 V = 325 kilohm: UN R100 5.1.3.2, as quoted; the pack itself has 201.6 V only.
    limit = bench.record("vehicle_isolation", ISOLATION).body["findings"][0]["limit"]
    assert (limit["value"], limit["unit"]) == (325.0, "kilohm")


def test_a_correction_names_what_it_replaces_and_the_old_record_stays(bench: Bench) -> None:
    bench.record("absence_of_voltage", PROOF)
    old = bench.record("machine_windings", WINDINGS | {"wu_milliohm": 101.5})
    new = bench.record("machine_windings", WINDINGS, replaces=old)
    assert new.body["replaces"] == old.pk
    assert list(Record.objects.filter(kind="machine_windings").standing()) == [new]
    assert Record.objects.filter(pk=old.pk).exists()


def test_a_dead_short_to_the_body_is_outside(bench: Bench) -> None:
    # 400 V pack, plus pole on the body: minus reads 400 V, plus 0 V, and no drop with the resistor (node equations).
    shorted = {
        "pole_to_pole_v": 400.0,
        "negative_to_body_v": 400.0,
        "positive_to_body_v": 0.0,
        "with_resistor_v": 400.0,
    }
    record = bench.record("vehicle_isolation", ISOLATION | shorted)
    assert (record.verdict, record.body["findings"][0]["bound"]) == ("outside", "at_most")


def test_the_page_of_a_record_shows_every_reading_as_it_was_typed(bench: Bench, client: Client) -> None:
    bench.record("absence_of_voltage", PROOF)
    record = bench.record("winding_insulation", INSULATION | {"resistance_megohm": Value(550.0, "at_least")})
    client.force_login(bench.ilse.person)
    text = client.get(f"/records/{record.pk}/").content.decode()
    assert "500 V" in text and "60 s" in text and "&gt; 550 megohm" in text
