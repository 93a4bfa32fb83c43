"""What a check against a certified resistor lifts, and each thing that it never lifts."""

from __future__ import annotations

import datetime
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from diagnostics import checking
from diagnostics.chain import first_break
from diagnostics.models import CheckResistor, InstrumentRange, Record
from tests.bench import INSULATION, PROOF, WINDINGS, Bench
from tests.cast import make_check, make_resistor

LIFTED = {"milliohm": ("machine_windings", WINDINGS), "megohm": ("winding_insulation", INSULATION)}


def overdue(bench: Bench, unit: str = "milliohm") -> InstrumentRange:
    """The bench's meter, out of date since yesterday."""
    meter = bench.ranges[unit].instrument
    meter.calibration_due = timezone.localdate() - datetime.timedelta(days=1)
    meter.save()
    return bench.ranges[unit]


def reason(record: Record) -> str:
    return str(record.body["findings"][0]["reason"])


@pytest.fixture
def measured(bench: Bench) -> Any:
    """Take the reading of a unit on the bench, after the proof."""
    bench.record("absence_of_voltage", PROOF)

    def take(unit: str = "milliohm", **more: Any) -> Record:
        kind, values = LIFTED[unit]
        return bench.record(kind, values, **more)

    return take


@pytest.mark.parametrize("unit", LIFTED)
def test_a_check_of_the_day_lifts_it_for_milliohm_and_megohm_and_the_record_says_so(
    bench: Bench, measured: Any, unit: str, client: Client
) -> None:
    used = overdue(bench, unit)
    assert reason(measured(unit)) == "overdue_instrument"
    make_check(bench.ilse, used, make_resistor(bench.ilse, used))
    record = measured(unit)
    assert (record.verdict, record.body["concerns"]) == ("within", [])
    assert record.body["instrument"]["check"]["checked_on"] == timezone.localdate().isoformat()
    assert record.body["next_steps"][-1] == "stands_on_check_of_the_day"
    client.force_login(bench.ilse.person)
    for page in (reverse("record", args=[record.pk]), reverse("sheet_whole", args=[record.sheet_id])):
        text = client.get(page).content.decode()
        assert "checked that day" in text and "K 118" in text and "this stands on a check of that day" in text
    assert first_break(bench.sheet) is None


@pytest.mark.parametrize(
    "check", [{"days_ago": 1}, {"off": 2.0}, {"off": 0.98}], ids=["of yesterday", "out of tolerance", "touches it"]
)
def test_another_day_or_a_reading_that_is_not_right_lifts_nothing(
    bench: Bench, measured: Any, check: dict[str, Any]
) -> None:
    used = overdue(bench)
    make_check(bench.ilse, used, make_resistor(bench.ilse, used), **check)
    assert measured().verdict == "unproven"


def test_an_overdue_resistor_lifts_nothing(bench: Bench, measured: Any) -> None:
    used = overdue(bench)
    made = make_check(bench.ilse, used, make_resistor(bench.ilse, used, due_in_days=-1))
    assert made.verdict == "unproven" and reason(measured()) == "overdue_instrument"


def test_a_check_of_another_range_of_the_same_meter_lifts_nothing(bench: Bench, measured: Any) -> None:
    used = overdue(bench)
    other = InstrumentRange(
        instrument=used.instrument, unit="milliohm", highest=2000, percent_of_reading=0.25, counts=3, resolution=1
    )
    other.save()
    make_check(bench.ilse, other, make_resistor(bench.ilse, other))
    assert reason(measured()) == "overdue_instrument"


def test_the_last_check_of_the_day_counts(bench: Bench, measured: Any) -> None:
    used = overdue(bench)
    resistor = make_resistor(bench.ilse, used)
    make_check(bench.ilse, used, resistor)
    make_check(bench.ilse, used, resistor, off=2.0)
    assert reason(measured()) == "instrument_fails_check"


def test_a_meter_in_date_that_fails_the_check_proves_nothing_that_day(bench: Bench, measured: Any) -> None:
    used = bench.ranges["milliohm"]
    make_check(bench.ilse, used, make_resistor(bench.ilse, used), off=2.0)
    record = measured()
    assert reason(record) == "instrument_fails_check" and record.body["next_steps"][0] == "use_other_instrument"


def test_a_meter_without_any_date_is_not_lifted(bench: Bench, measured: Any) -> None:
    used = overdue(bench)
    used.instrument.calibration_due = None
    used.instrument.save()
    make_check(bench.ilse, used, make_resistor(bench.ilse, used))
    assert reason(measured()) == "missing_calibration_date"


def test_nothing_lifts_it_for_volts_nor_for_the_proof_of_absence_whatever_was_checked(bench: Bench) -> None:
    volts, ohms = overdue(bench, "V"), overdue(bench)
    resistor = make_resistor(bench.ilse, ohms)
    with pytest.raises(ValueError, match="doesn't test"):
        checking.check(volts, resistor, reading=100, by=bench.ilse)
    make_check(bench.ilse, ohms, resistor)
    assert reason(bench.record("absence_of_voltage", PROOF)) == "overdue_instrument"
    # Not even a range that a check lifts for every other kind.
    assert checking.trust_in(ohms, kind="absence_of_voltage", at=timezone.now()).concerns == ("overdue_instrument",)
    assert not checking.trust_in(ohms, kind="machine_windings", at=timezone.now()).concerns


def test_what_a_check_could_lift_is_said(bench: Bench, measured: Any) -> None:
    overdue(bench)
    assert "check_resistor_would_lift" in measured().body["next_steps"]
    overdue(bench, "V")
    assert "check_resistor_would_lift" not in bench.record("absence_of_voltage", PROOF).body["next_steps"]


def test_a_new_certificate_changes_no_check_of_the_past(bench: Bench) -> None:
    used = bench.ranges["milliohm"]
    made = make_check(bench.ilse, used, make_resistor(bench.ilse, used))
    resistor = CheckResistor.objects.get()
    resistor.certified_value, resistor.certificate = 90.0, "K 200"
    checking.keep_resistor(resistor, by=bench.ilse)
    made.refresh_from_db()
    assert (made.certified_value, made.certificate) == (100.0, "K 118, Eichwerk, this year")


def test_the_page_keeps_a_check_and_says_what_it_means(bench: Bench, client: Client) -> None:
    used = overdue(bench)
    resistor = make_resistor(bench.ilse, used)
    client.force_login(bench.ilse.person)
    page = reverse("instrument_check", args=[used.instrument_id])
    typed = {"instrument_range": used.pk, "resistor": resistor.pk, "reading": "100,1"}
    text = client.post(page, typed, follow=True).content.decode()
    assert "Its readings in this range count today." in text and "within the stated accuracy" in text


def test_a_resistor_that_lies_too_low_in_the_range_is_refused(bench: Bench, client: Client) -> None:
    used = bench.ranges["megohm"]
    resistor = make_resistor(bench.ilse, used)
    CheckResistor.objects.update(certified_value=54.9, certified_uncertainty=0.01)  # a tenth of 550 is 55
    client.force_login(bench.ilse.person)
    typed = {"instrument_range": used.pk, "resistor": resistor.pk, "reading": "54,9"}
    answer = client.post(reverse("instrument_check", args=[used.instrument_id]), typed)
    assert answer.status_code == 422 and "test this range" in answer.content.decode()
