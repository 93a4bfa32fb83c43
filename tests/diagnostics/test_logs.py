"""A logger's file: stored, its columns chosen and remembered, read in steps, what is found, and the record made of it."""

import re
from html import unescape
from pathlib import Path

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from diagnostics import log_reading
from diagnostics.log_preview import preview
from diagnostics.models import LogShape, MeasurementLog, Record
from network.access import acting_for
from tests import cast as made

pytestmark = pytest.mark.django_db
CELL = (
    Path(__file__).parents[2] / "fixtures/logs/simulated_cell.csv"
).read_bytes()  # tests/calculations/test_logs_found.py


@pytest.fixture
def member():
    return made.make_member(made.make_workshop(), live_work=True)


@pytest.fixture
def sheet(member):
    return made.make_sheet(member, "Battery on the bench", family=made.make_family(member.workshop))


@pytest.fixture
def client(member):
    client = Client()
    client.force_login(member.person)
    return client


def stored(client, sheet, data, name="log.csv"):
    answer = client.post(f"/sheets/{sheet.pk}/logs/new/", {"file": SimpleUploadedFile(name, data)})
    assert answer.status_code == 302, answer.content.decode()
    return answer["Location"]


def columns(**more):
    plain = {"what": "columns", "time": "0", "time_unit": "s", "voltage": "1", "voltage_unit": "V", "current": "2"}
    return plain | {"current_unit": "A", "discharge": "positive", "temperature": ""} | more


def read_to_end(client, path):
    """What the page says at each look, until it stops asking for itself."""
    seen = []
    for _look in range(400):
        seen.append(client.get(path).content.decode())
        if 'http-equiv="refresh"' not in seen[-1]:
            return seen
    raise AssertionError("the page never comes to an end")


def test_the_simulated_cell_is_read_and_told_in_one_sentence(client, sheet):
    path = stored(client, sheet, CELL)
    first = client.get(path).content.decode()
    assert "Which column is what?" in first and "Voltage [V] (4.20000)" in first
    client.post(path, columns())
    page = read_to_end(client, path)[-1]
    # PyBaMM: 4.9925 Ah, 17.525 Wh, 2.9818 V open circuit at the end (tests/calculations/test_logs_found.py).
    assert re.search(r"4\.993 Ah and 17\.53 Wh", page) and "at rest 2.982 V" in page
    assert "4 pulses" in page and "<svg" in page
    assert "samples have the time of the one before them" in page


def test_columns_are_remembered_for_files_with_the_same_headers_of_this_workshop(client, sheet, member):
    text = "stamp;i_clamp;u_pack;note\n0;100;12,5;a\n1000;200;12,4;b\n"
    path = stored(client, sheet, text.encode())
    chosen = columns(time_unit="ms", voltage="2", current="1", current_unit="mA", discharge="negative")
    client.post(path, chosen)
    read_to_end(client, path)
    with acting_for(member.workshop):
        log = MeasurementLog.objects.get()
        assert LogShape.objects.count() == 1
        samples = log_reading.samples_of(log)
    assert samples.times_s.tolist() == [0.0, 1.0]
    assert samples.currents_a.tolist() == [-0.1, -0.2]  # milliampere, discharge negative
    again = client.get(stored(client, sheet, text.replace("12,5", "12,9").encode())).content.decode()
    assert "as you chose the last time" in again
    assert re.search(r'<option value="mA" selected', again) and re.search(r'<option value="negative" selected', again)
    other = made.make_member(made.make_workshop("Hybridwerk Rureifel", region=made.make_region("rur")))
    stranger = Client()
    stranger.force_login(other.person)
    theirs = made.make_sheet(other)
    assert "Which column is what?" in stranger.get(stored(stranger, theirs, text.encode())).content.decode()


def test_a_long_log_is_read_in_steps_that_tell_how_far_they_are(client, sheet, member, monkeypatch):
    monkeypatch.setattr(log_reading, "STEP_SECONDS", 0.0)
    rows = "".join(f"{n / 10:.1f},{400 - n / 1e4:.3f},{n % 97}\n" for n in range(150_000))
    path = stored(client, sheet, f"time,voltage,current\n{rows}".encode())
    client.post(path, columns())
    seen = read_to_end(client, path)
    shares = [int(re.search(r"(\d+) % is read", page)[1]) for page in seen[:-1]]
    assert len(shares) > 1 and shares == sorted(shares) and 0 < shares[0] < 100
    with acting_for(member.workshop):
        samples = log_reading.samples_of(MeasurementLog.objects.get())
    assert len(samples.times_s) == 150_000
    assert np.array_equal(samples.currents_a, np.arange(150_000) % 97)


def test_two_tabs_that_read_the_same_log_do_not_disturb_each_other(client, sheet, member, monkeypatch):
    monkeypatch.setattr(log_reading, "STEP_SECONDS", 0.0)
    rows = "".join(f"{n},{400 - n / 1e4:.3f},{n % 97}\n" for n in range(150_000))
    client.post(stored(client, sheet, f"time,voltage,current\n{rows}".encode()), columns())
    with acting_for(member.workshop):
        log = MeasurementLog.objects.get()
        while log.state == "reading":
            late = MeasurementLog.objects.get(pk=log.pk)
            log_reading.step(log)
            log_reading.step(late)  # began where the first one did
            log.refresh_from_db()
        assert log_reading.samples_of(log).times_s.tolist() == list(range(150_000))


def test_a_bad_line_is_named_and_shown_with_its_neighbours(client, sheet):
    path = stored(client, sheet, b"time,voltage,current\n0,12.5,1\n1,12.4,\n2,12.3,1\n")
    client.post(path, columns())
    page = read_to_end(client, path)[-1]
    assert "Line 3: the current is empty" in page
    assert "<b>1,12.4,</b>" in page and "2,12.3,1" in page
    assert "Choose the columns again" in page


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", "file is empty"),
        (b"PK\x03\x04\0\0junk", "holds a NUL"),
        (b"only one line of words\n", "no table of three"),
    ],
)
def test_what_is_no_log_is_refused_with_a_sentence(client, sheet, data, told):
    answer = client.post(f"/sheets/{sheet.pk}/logs/new/", {"file": SimpleUploadedFile("log.csv", data)})
    page = answer if answer.status_code == 422 else client.get(answer["Location"])
    assert page.status_code == 422 and told in page.content.decode()


def test_gaps_and_a_clock_that_was_set_are_told(client, sheet):
    rows = [*range(100), *range(160, 260), *range(3860, 3960)]
    text = "time,voltage,current\n" + "".join(f"{t},200,10\n" for t in rows)
    path = stored(client, sheet, text.encode())
    client.post(path, columns())
    page = read_to_end(client, path)[-1]
    assert "2 gaps" in page and "a clock that was set" in page


def test_lines_above_the_table_and_clock_times_are_found_by_the_first_look(client, sheet):
    text = (
        "Logger 7;serial 4471\n\nZeit;Spannung [V];Strom [A]\n2026-11-25 13:51:29;12,5;5\n2026-11-25 13:51:30;12,4;5\n"
    )
    path = stored(client, sheet, text.encode())
    page = client.get(path).content.decode()
    assert "begin in line 3" in page and re.search(r'<option value="clock" selected', page)
    client.post(path, columns(time_unit="clock", line="3"))
    assert "Ah and" in read_to_end(client, path)[-1]


def test_the_clamps_zero_is_taken_off_and_its_drift_told(client, sheet, member):
    # 6 A for an hour with a clamp that showed 0.4 A before and 0.6 A after: 5.5 Ah, plus or minus 0.1 Ah.
    text = "time,voltage,current\n" + "".join(f"{t},200,6\n" for t in range(0, 3601, 10))
    path = stored(client, sheet, text.encode())
    client.post(path, columns())
    read_to_end(client, path)
    lacking = client.post(path, {"what": "settings", "zero_before_a": "0.4", "discharge": "positive"})
    assert lacking.status_code == 422 and "needed before and after" in lacking.content.decode()
    client.post(path, {"what": "settings", "zero_before_a": "0.4", "zero_after_a": "0,6", "discharge": "positive"})
    page = client.get(path).content.decode()
    assert "5.5 ± 0.1 Ah" in page or "5.50 ± 0.10 Ah" in page
    client.post(path, {"what": "settings", "discharge": "negative"})
    assert "sign is wrong" in client.get(path).content.decode()


def test_where_discharge_is_negative_the_zero_is_turned_as_the_current_is(client, sheet, member):
    # The display reads -6 A and, without current, +0.5 A: 6.5 A really flowed.
    text = "time,voltage,current\n" + "".join(f"{t},200,-6\n" for t in range(0, 3601, 10))
    path = stored(client, sheet, text.encode())
    client.post(path, columns(discharge="negative"))
    read_to_end(client, path)
    client.post(path, {"what": "settings", "zero_before_a": "0.5", "zero_after_a": "0.5", "discharge": "negative"})
    assert "6.5 Ah" in client.get(path).content.decode()
    with acting_for(member.workshop):
        log = MeasurementLog.objects.get()
    form = client.get(f"/sheets/{sheet.pk}/records/battery_capacity/?log={log.pk}").content.decode()
    assert 'name="zero_before_a" value="-0.5"' in form


def test_a_record_is_judged_from_the_stored_log_and_holds_its_digest(client, sheet, member):
    meter = made.make_instrument(member.workshop, "A", 60, percent_of_reading=1)
    path = stored(client, sheet, CELL)
    client.post(path, columns())
    read_to_end(client, path)
    client.post(
        path,
        {"what": "settings", "cut_off_v": "2.5", "zero_before_a": "0", "zero_after_a": "0", "discharge": "positive"},
    )
    with acting_for(member.workshop):
        log = MeasurementLog.objects.get()
    form = client.get(f"/sheets/{sheet.pk}/records/battery_capacity/?log={log.pk}").content.decode()
    assert f'name="stored_log" value="{log.pk}"' in form and 'name="cut_off_v" value="2.5"' in form
    typed = {
        "state": "bench", "method": "bench", "cut_off_v": "2.5", "zero_before_a": "0", "zero_after_a": "0",
        "rated_ah": "5", "temperature_c": "21", "instrument_range": meter.pk, "stored_log": log.pk,
    }  # fmt: skip
    answer = client.post(f"/sheets/{sheet.pk}/records/battery_capacity/", typed)
    assert answer.status_code == 302, answer.content.decode()
    with acting_for(member.workshop):
        record = Record.objects.get()
    assert record.body["log"] == log.sha256
    assert record.body["findings"][0]["value"] == pytest.approx(100 * 4.99253696 / 5, rel=1e-3)
    pulse = client.get(f"/sheets/{sheet.pk}/records/pulse_resistance/?log={log.pk}&pulse=2").content.decode()
    assert 'name="after_a" value="5.0"' in pulse and 'name="seconds" value="10.0"' in pulse


def test_the_preview_in_a_record_keeps_every_dip():
    from diagnostics.calculations.measurement_log import MeasurementLog as Samples

    volts = np.full(100_000, 200.0)
    volts[54_321] = 120.0
    times = np.arange(100_000.0)
    kept = preview(Samples(times_s=times, volts_v=volts, currents_a=times * 0, gaps=()))
    assert min(kept["volts_v"]) == 120.0 and len(kept["volts_v"]) <= 122
    assert (kept["times_s"][0], kept["times_s"][-1]) == (0.0, 99_999.0)


def test_the_next_bad_lines_are_named_as_well_so_that_all_are_mended_at_once(client, sheet):
    rows = [f"{n},12.5,1" for n in range(40)]
    for at, text in (
        (3, "3,oops,1"),
        (9, "9,12.5"),
        (10, "8.5,12.5,1"),
        (11, "5,12.5,1"),
        (20, "20,nan,1"),
        (30, "30,,1"),
    ):
        rows[at] = text
    path = stored(client, sheet, ("time,voltage,current\n" + "\n".join(rows) + "\n").encode())
    client.post(path, columns())
    page = unescape(read_to_end(client, path)[-1])
    assert "Line 5: the voltage is no number" in page
    named = [int(line) for line in re.findall(r"<li>Line (\d+):", page)]
    # Physical lines: two more than the row. Row 10 runs on from row 8, since row 9 is bad; 11 runs backwards from it.
    assert named == [11, 13, 22, 32] and "time runs backwards, from 8.5 to 5.0 s" in page


def test_a_file_sent_straight_into_a_record_has_its_bad_lines_named_as_on_the_log_page(client, sheet, member):
    lines = [f"{n},12.5,1" for n in range(40)]
    for at, text in ((3, "3,oops,1"), (9, "9,12.5"), (20, "20,nan,1"), (30, "30,,1"), (33, "33,,1"), (35, "35,,1")):
        lines[at] = text
    data = ("time,voltage,current\n" + "\n".join(lines) + "\n").encode()
    path = stored(client, sheet, data)
    client.post(path, columns())
    read_to_end(client, path)
    with acting_for(member.workshop):
        log = MeasurementLog.objects.get()
    told = [log.problem, *log.further]
    answer = client.post(
        f"/sheets/{sheet.pk}/records/battery_capacity/", {"log": SimpleUploadedFile("straight.csv", data)}
    )
    named = answer.context["form"].errors["log"]
    assert named == told and len(named) == 5
    assert [int(re.match(r"Line (\d+): ", one)[1]) for one in named] == [5, 11, 22, 32, 35]


def test_a_file_without_a_table_sent_straight_into_a_record_has_one_sentence(client, sheet):
    answer = client.post(
        f"/sheets/{sheet.pk}/records/battery_capacity/", {"log": SimpleUploadedFile("x.csv", b"PK\x03\x04\0\0")}
    )
    assert answer.context["form"].errors["log"] == ["Line 1: it holds a NUL, which no text does."]
