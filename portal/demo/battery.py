"""A hybrid whose battery was looked at over eleven years, and the log of today's discharge with its pulses."""

from __future__ import annotations

import datetime
import math

from django.core.files.uploadedfile import SimpleUploadedFile

from diagnostics import log_reading
from diagnostics.kinds import all_kinds
from diagnostics.models import Battery, EarlierCapacity, InstrumentRange, MeasurementLog, SystemFamily
from diagnostics.recording import Entry, add_record
from jobs import working
from jobs.models import Customer, Job, Vehicle
from jobs.outlook import give_battery
from network.access import acting_for
from network.models import Membership
from portal.demo.network import Cast

YEAR = datetime.timedelta(days=365.25)
AGE_YEARS = 11.4
# years after it was new, odometer, percent of rated, how it was got, from where
EARLIER = [
    (3.0, 41_200, 84.0, "module_estimate", "owner's service book, page 14: read from the battery's own module"),
    (6.1, 92_800, 73.0, "in_car", "paper of the workshop before us: discharge on the rolls"),
    (9.0, 136_500, 63.5, "bench", "our paper file of that year, battery 41"),
]
CELLS = 168  # 14 blocks of 14.4 V
HOLDS_AH = 3.55
CLAMP_ZERO_A = 0.06  # what the clamp shows without current


def load_battery(*, cast: Cast, families: dict[str, SystemFamily], today: datetime.date) -> None:
    """The car is booked in, its papers typed in, its battery discharged on the bench, the log read and judged."""
    ilse = cast.member(cast.hautpre, "ilse@hautpre.example")
    bram = cast.member(cast.hautpre, "bram@hautpre.example")
    with acting_for(cast.hautpre):
        job = working.book_in(
            by=ilse,
            customer=Customer(name="Josine Verlaken", phone="+49 30 23125 902"),
            vehicle=Vehicle(
                description="Lanner Vireo 1.8 hybrid, 2015", family=families["vireo"], registration="1-VRL-152",
                odometer_km=171_300,
            ),
            complaint="The petrol engine runs almost all the time, the battery gauge jumps.",
            recalls=Job.Recalls.NONE_OPEN,
            codes=("P0A80",),
        )  # fmt: skip
        battery = Battery(in_use_since=today - AGE_YEARS * YEAR)
        battery.save()
        give_battery(job.vehicle, battery)
        for years, km, percent, method, words in EARLIER:
            EarlierCapacity(
                battery=battery, found_on=today - (AGE_YEARS - years) * YEAR, odometer_km=km, capacity_percent=percent,
                method=method, words=words,
            ).enter(by=ilse)  # fmt: skip
        log = _read(job.sheet, ilse)
        samples = log_reading.samples_of(log)
        values = {
            "method": "bench", "zero_before_a": -0.05, "log": samples, "cut_off_v": 168.0, "zero_after_a": -0.07,
            "rated_ah": None, "measured_ah": None,
        }  # fmt: skip
        add_record(
            Entry(
                sheet=job.sheet,
                kind=all_kinds()["battery_capacity"],
                taken_by=ilse,
                state="bench",
                values=values,
                stood_by=bram.person,
                instrument_range=InstrumentRange.objects.get(instrument__name="Kring clamp"),
                temperature_c=22.0,
                log=log,
            )
        )


def _read(sheet: object, by: Membership) -> MeasurementLog:
    """The logger's file through the same steps as on the page."""
    upload = SimpleUploadedFile("battery 41, discharge.csv", discharge())
    log = log_reading.store(upload=upload, sheet=sheet, by=by)  # type: ignore[arg-type]
    look = log_reading.look_at(log)
    columns = {
        "header_line": look.header_line, "time": 0, "time_unit": "s", "voltage": 1, "voltage_unit": "V", "current": 2,
        "current_unit": "A", "temperature": 3, "discharge": "negative",
    }  # fmt: skip
    log_reading.choose(log=log, look=look, columns=columns, by=by)
    while log.state == MeasurementLog.State.READING:
        log_reading.step(log)
    typed = {"zero_before_a": 0.05, "zero_after_a": 0.07, "cut_off_v": 168.0, "pulse_s": 10.0}
    log_reading.change_settings(log=log, typed=typed, by=by)
    return log


def discharge() -> bytes:
    """One sample a second: rest, three pulses, discharge at 6.5 A to the cut-off, rest. Discharge is negative."""
    lines = ["Logger Kring 4;battery 41", "", "Time [s];Voltage [V];Current [A];Temperature [°C]"]
    taken_ah, slow_v, second = 0.0, 0.0, 0
    phases = [(120, 0.0), *[(10, 20.0), (60, 0.0)] * 3, (3000, 6.5), (600, 0.0)]
    for seconds, amperes in phases:
        for _second in range(seconds):
            left = max(1.0 - taken_ah / HOLDS_AH, 0.0)
            slow_v += (0.11 * amperes - slow_v) / 45.0
            volts = CELLS * (1.17 + 0.13 * left - 0.21 * math.exp(-left / 0.05)) - 0.29 * amperes - slow_v
            if amperes == 6.5 and volts < 167.5:
                break
            wobble = 0.02 * math.sin(second * 2.399)
            celsius = 22 + 4 * (1 - left)
            lines.append(f"{second};{volts + wobble:.2f};{-amperes + CLAMP_ZERO_A + wobble / 4:.3f};{celsius:.1f}")
            taken_ah += amperes / 3600
            second += 1
    return "\n".join(lines).encode("cp1252")
