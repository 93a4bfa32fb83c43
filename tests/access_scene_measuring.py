"""Logs and batteries of the scene of `tests/access_matrix.py`: the rows and what is sent to their addresses."""

from __future__ import annotations

import datetime
from typing import Any

from django.core.files.uploadedfile import SimpleUploadedFile

from diagnostics import families, log_reading, photographing
from diagnostics.kinds import all_kinds
from diagnostics.models import (
    Battery,
    DisplayPhoto,
    EarlierCapacity,
    ExpectedReading,
    InstrumentCheck,
    MeasurementLog,
    Sheet,
    SystemFamily,
)
from jobs import outlook
from jobs.models import Job
from network.access import acting_for
from network.models import Membership
from tests.cast import make_picture

WINDINGS = {
    "state": "bench", "subject": "1", "temperature_c": "24.5", "leads_milliohm": "0.4", "uv_milliohm": "93.6",
    "vw_milliohm": "93.9", "wu_milliohm": "95.4",
}  # fmt: skip


RESISTOR = {
    "name": "Normal 100", "serial": "N-100", "unit": "milliohm", "certified_value": "100.02",
    "certified_uncertainty": "0.01", "certificate": "K 119", "due": "2099-01-01",
}  # fmt: skip


EXPECTED = {
    "what": "machine_windings:uv_milliohm", "typical": "94", "low": "88", "high": "100", "source": "notes 14",
}  # fmt: skip


def expected_readings(family: SystemFamily, a: Membership, b: Membership) -> dict[str, dict[str, Any]]:
    rows = {}
    for letter, by in (("a", a), ("b", b)):
        hint = ExpectedReading(
            kind="machine_windings", quantity="uv_milliohm", unit="milliohm", typical=94, low=88, high=100, source="14"
        )
        families.enter_fact(hint, family=family, by=by)
        rows[f"expected_of_{letter}"] = {"pk": hint.pk}
    return rows


def display_photos(a: Sheet, b: Sheet, by_a: Membership, by_b: Membership) -> dict[str, dict[str, Any]]:
    """A photograph of each that waits to be typed."""
    rows = {}
    for letter, sheet, by in (("a", a, by_a), ("b", b, by_b)):
        with acting_for(by.workshop):
            made = photographing.photograph(sheet, all_kinds()["machine_windings"], make_picture(), by=by)
        rows[f"display_of_{letter}"] = {"pk": made.pk}
    return rows


def typed_from_photo(by: Membership) -> dict[str, Any]:
    with acting_for(by.workshop):
        return WINDINGS | {"photo": DisplayPhoto.objects.get().pk}


def reads(check: InstrumentCheck) -> dict[str, Any]:
    """That check again, as somebody types it."""
    return {"instrument_range": check.instrument_range_id, "resistor": check.resistor_id, "reading": check.reading}


class FileAgain(SimpleUploadedFile):
    """A file that many people send: each reads it from its start."""

    def read(self, *args: Any) -> Any:
        self.seek(0)
        return super().read(*args)


def read_log(job: Job, member: Membership) -> MeasurementLog:
    """A log that was read to its end, and its columns remembered."""
    upload = SimpleUploadedFile("log.csv", b"time,voltage,current\n0,200,5\n1,199,5\n")
    log = log_reading.store(upload=upload, sheet=job.sheet, by=member)
    columns = {"time": 0, "voltage": 1, "current": 2, "discharge": "positive"}
    log_reading.choose(log=log, look=log_reading.look_at(log), columns=columns, by=member)
    log_reading.step(log)
    return log


def earlier_capacity(job: Job, member: Membership) -> EarlierCapacity:
    battery = Battery(serial="LN 014-1", in_use_since=datetime.date(2016, 3, 1))
    battery.save()
    outlook.give_battery(job.vehicle, battery)
    row = EarlierCapacity(
        battery=battery, found_on=datetime.date(2022, 3, 1), capacity_percent=70, method="bench", words="paper"
    )
    return row.enter(by=member)


def payloads(
    log_a: MeasurementLog, log_b: MeasurementLog, earlier_a: EarlierCapacity, earlier_b: EarlierCapacity
) -> dict[str, dict[str, Any]]:
    """What is sent, by name."""
    return {
        "log_of_a": {"log": log_a.pk},
        "log_of_b": {"log": log_b.pk},
        "windings_from_log_of_b": WINDINGS | {"stored_log": log_b.pk},
        "display_file": {"picture": FileAgain("display.jpg", make_picture().data)},
        "log_file": {"file": FileAgain("log.csv", b"time,voltage,current\n0,200,5\n")},
        "log_columns": {
            "what": "columns",
            "time": "0",
            "time_unit": "s",
            "voltage": "1",
            "voltage_unit": "V",
            "current": "2",
            "current_unit": "A",
            "discharge": "positive",
        },
        "log_settings": {"what": "settings", "discharge": "positive"},
        "battery_dated": {"what": "battery", "in_use_since": "2016-03-01", "km_when_new": "0"},
        "earlier_capacity": {
            "what": "earlier",
            "found_on": "2021-03-01",
            "odometer_km": "90000",
            "capacity_percent": "77",
            "method": "in_car",
            "words": "paper of the owner",
        },
        "take_out_of_a": {"what": "take_out", "finding": earlier_a.pk},
        "take_out_of_b": {"what": "take_out", "finding": earlier_b.pk},
    }
