"""Invented system families with limits from invented documents, and the instruments of the demo's first workshop."""

from __future__ import annotations

import datetime
from typing import Any

from django.utils import timezone

from diagnostics import checking, sharing_sheets
from diagnostics.families import enter_fact, enter_family, enter_limit
from diagnostics.kind import Value
from diagnostics.kinds import all_kinds
from diagnostics.models import (
    CheckResistor,
    ExpectedReading,
    FamilyLimit,
    Instrument,
    InstrumentRange,
    SharedSheet,
    Sheet,
    SystemFamily,
)
from diagnostics.recording import Entry, add_record
from network import api_tokens
from network.access import acting_for
from network.models import Membership
from portal.demo.network import Cast

FAMILIES: dict[str, dict[str, Any]] = {
    "vireo": {
        "maker": "Lanner", "name": "Vireo 1.8 hybrid (LN 27)", "drive": "hybrid", "nominal_v": 201.6,
        "highest_working_v": 650, "chemistry": "nickel_metal_hydride", "blocks": 14, "rated_ah": 6.5,
        "machines": 2, "machine_type": "permanent_magnet", "connection": "wye",
    },
    "kestrel": {
        "maker": "Lanner", "name": "Kestrel E (LN 40)", "drive": "electric", "nominal_v": 355,
        "highest_working_v": 420, "chemistry": "lithium_ion", "blocks": 96, "rated_ah": 150,
        "machines": 1, "machine_type": "permanent_magnet", "connection": "wye",
    },
    "tarsis": {
        "maker": "Tarnholt", "name": "Tarsis H (TH 3)", "drive": "hybrid", "nominal_v": 270,
        "highest_working_v": 500, "chemistry": "lithium_ion", "blocks": 72, "rated_ah": 5.0,
        "machines": 1, "machine_type": "induction", "connection": "delta",
    },
    "marsk": {
        "maker": "Marsk", "name": "Fjordling (MK 12)", "drive": "electric", "nominal_v": 330,
        "highest_working_v": 400, "chemistry": "lithium_iron_phosphate", "blocks": 104, "rated_ah": 105,
        "machines": 1, "machine_type": "wound_rotor", "connection": "wye",
    },
}  # fmt: skip

# kind, quantity, shape, value, upper, unit, source; all of the invented maker's authority.
LIMITS: dict[str, list[tuple[Any, ...]]] = {
    "vireo": [
        (
            "machine_windings",
            "winding_unbalance",
            "maximum",
            2.0,
            None,
            "%",
            "Lanner service data 14-208, edition 2019",
        ),
        (
            "machine_windings",
            "winding_resistance",
            "range",
            0.060,
            0.130,
            "ohm",
            "Lanner service data 14-208, edition 2019",
        ),
        (
            "winding_insulation",
            "insulation_resistance",
            "minimum",
            10,
            None,
            "megohm",
            "Lanner service data 14-209, edition 2019",
        ),
        (
            "link_capacitor_discharge",
            "time_to_60_v",
            "maximum",
            5.0,
            None,
            "s",
            "Lanner service data 14-212, edition 2019",
        ),
    ],
    "kestrel": [
        (
            "machine_windings",
            "winding_unbalance",
            "maximum",
            2.0,
            None,
            "%",
            "Lanner service data 22-108, edition 2021",
        ),
        ("battery_capacity", "state_of_health", "minimum", 70, None, "%", "Lanner warranty terms, edition 2021"),
    ],
}

_SENSOR, _RELAYS = "Lanner service data 14-214, edition 2019", "Lanner service data 14-230, edition 2019"
LIMITS["vireo"] += [
    ("winding_inductance", "inductance_difference", "maximum", 4.0, None, "%", "Lanner service data 14-208"),
    ("position_sensor", "exciter_resistance", "range", 9.5, 15.5, "ohm", _SENSOR),
    ("position_sensor", "sine_resistance", "range", 13.0, 27.0, "ohm", _SENSOR),
    ("position_sensor", "cosine_resistance", "range", 13.0, 27.0, "ohm", _SENSOR),
    ("position_sensor", "sine_cosine_difference", "maximum", 10.0, None, "%", _SENSOR),
    ("position_sensor", "coil_to_body", "minimum", 10.0, None, "megohm", _SENSOR),
    ("contactors", "contactor_coil", "range", 20.0, 50.0, "ohm", _RELAYS),
    ("contactors", "contactor_closed", "maximum", 0.05, None, "ohm", _RELAYS),
    ("contactors", "precharge_resistance", "range", 18.0, 25.0, "ohm", _RELAYS),
    ("contactors", "precharge_rise_time", "maximum", 0.5, None, "s", _RELAYS),
    ("interlock_bonding", "interlock_loop_resistance", "maximum", 5.0, None, "ohm", _RELAYS),
    ("load_run", "load_run_rise", "maximum", 45.0, None, "K", _RELAYS),
]
# What sound cars of it usually read; hints, no limits.
EXPECTED = [
    ("machine_windings", "uv_milliohm", 94.0, 88.0, 100.0, "milliohm", "Lanner training notes 14"),
    ("machine_windings", "vw_milliohm", 94.0, 88.0, 100.0, "milliohm", "Lanner training notes 14"),
    ("machine_windings", "wu_milliohm", 94.0, 88.0, 100.0, "milliohm", "Lanner training notes 14"),
    ("winding_insulation", "insulation_resistance", 300.0, 100.0, 550.0, "megohm", "Lanner training notes 14"),
]


def load_families(*, cast: Cast) -> dict[str, SystemFamily]:
    """The families with their limits: entered by one workshop, confirmed by a second."""
    first, confirmed = cast.member(cast.hautpre), cast.rureifel
    families = {}
    for key, facts in FAMILIES.items():
        families[key] = enter_family(SystemFamily(**facts), by=first)
        for kind, quantity, shape, value, upper, unit, source in LIMITS.get(key, ()):
            limit = FamilyLimit(
                kind=kind, quantity=quantity, shape=shape, value=value, upper=upper, unit=unit, source=source,
                authority="maker",
            )  # fmt: skip
            enter_limit(limit, family=families[key], by=first)
            limit.confirm(by=confirmed.memberships.active().select_related("person", "workshop")[0])
    for kind, quantity, typical, low, high, unit, source in EXPECTED:
        hint = ExpectedReading(
            kind=kind, quantity=quantity, typical=typical, low=low, high=high, unit=unit, source=source
        )
        enter_fact(hint, family=families["vireo"], by=first)
        hint.confirm(by=confirmed.memberships.active().select_related("person", "workshop")[0])
    return families


# The six switches of one stage as typed, forward in volt and open reversed (the meter reaches 4 V); the part is the one
# that Hybridwerk Rureifel offers on the board.
FORWARD_V = {
    "u_upper": 0.412, "u_lower": 0.409, "v_upper": 0.415, "v_lower": 0.411, "w_upper": 0.408, "w_lower": 0.413,
}  # fmt: skip
DIODES: dict[str, Any] = {
    "technology": "silicon",
    **{f"{switch}_forward_v": volts for switch, volts in FORWARD_V.items()},
    **{f"{switch}_reverse_v": Value(4, "at_least") for switch in FORWARD_V},
}


def load_bench_sheet(*, cast: Cast, families: dict[str, SystemFamily]) -> SharedSheet:
    """A used inverter that another workshop tested on its bench, and shows to every member."""
    by = cast.member(cast.rureifel)
    with acting_for(cast.rureifel):
        meter = Instrument(
            name="Sperling 7", serial="SP-7-0144", calibration_due=timezone.localdate() + datetime.timedelta(days=150)
        )
        meter.save()
        used = InstrumentRange(
            instrument=meter, unit="V", highest=4, percent_of_reading=0.1, counts=2, resolution=0.001
        )
        used.save()
        sheet = Sheet(
            title="Inverter LN 27 410-0 on the bench", family=families["vireo"], part_kind="inverter",
            part_number="LN 27 410-0", part_serial="LN27-104-33871", occasion="bench", made_by=by.person,
        )  # fmt: skip
        sheet.save()
        for stage in ("machine_1", "machine_2"):
            add_record(
                Entry(
                    sheet=sheet, kind=all_kinds()["power_stage_diodes"], taken_by=by, state="bench",
                    values=DIODES | {"stage": stage}, instrument_range=used,
                )
            )  # fmt: skip
        return sharing_sheets.freeze(sheet, by=by, serial="whole")


def load_token(*, cast: Cast) -> None:
    """A program of Ateliers Hautpré; its text is thrown away, so the demo opens nothing by it."""
    with acting_for(cast.hautpre):
        api_tokens.make(name="Logger of bench 2", by=cast.member(cast.hautpre, "manager@hautpre.example"))


def load_instruments(*, cast: Cast, today: datetime.date) -> None:
    """Meters of Ateliers Hautpré, all in date but one."""
    in_date, overdue = today + datetime.timedelta(days=210), today - datetime.timedelta(days=12)
    meters: list[tuple[str, str, datetime.date, list[tuple[Any, ...]]]] = [
        ("Tarn 0317", "0317-4471", in_date, [("milliohm", 200, 0.25, 3, 0.1), ("milliohm", 2000, 0.25, 3, 1)]),
        (
            "Brisk 88",
            "88-20119",
            in_date,
            [("V", 1000, 0.1, 3, 0.1), ("V", 100, 0.1, 3, 0.01), ("V", 4, 0.1, 2, 0.001)],
        ),
        ("Ohmvalk 500", "OV-3310", in_date, [("megohm", 550, 3, 3, 0.1)]),
        ("Ohmvalk 20", "OV-0811", in_date, [("ohm", 50_000_000, 0.2, 2, 0.001)]),
        ("Spoel 9", "SP-9-0037", in_date, [("microhenry", 2000, 0.5, 2, 0.1)]),
        ("Toerental 4", "TT-4-218", in_date, [("rpm", 9999, 0.1, 1, 1)]),
        ("Warmte 3", "WA-3-114", in_date, [("°C", 400, 0.5, 2, 0.1)]),
        ("Kring clamp", "KC-0921", in_date, [("A", 60, 1, 5, 0.01)]),
        ("Old Ohmvalk", "OV-1107", overdue, [("megohm", 200, 5, 5, 0.1)]),
    ]  # fmt: skip
    with acting_for(cast.hautpre):
        for name, serial, due, ranges in meters:
            meter = Instrument(name=name, serial=serial, calibration_due=due)
            meter.save()
            for unit, highest, percent, counts, resolution in ranges:
                InstrumentRange(
                    instrument=meter, unit=unit, highest=highest, percent_of_reading=percent, counts=counts,
                    resolution=resolution,
                ).save()  # fmt: skip
        _check_old_meter(by=cast.member(cast.hautpre), today=today)


def _check_old_meter(*, by: Membership, today: datetime.date) -> None:
    """Two certified resistors; the overdue tester was read against one of them yesterday, which counted yesterday."""
    for name, unit, value, spread in (("Normal 100", "milliohm", 100.02, 0.01), ("Normal 100 M", "megohm", 100.4, 0.2)):
        resistor = checking.keep_resistor(
            CheckResistor(
                name=name, serial=f"N-{unit[:2].upper()}-07", unit=unit, certified_value=value,
                certified_uncertainty=spread, certificate="K 4711, Eichwerk Rur", due=today + datetime.timedelta(300),
            ),
            by=by,
        )  # fmt: skip
    used = InstrumentRange.objects.get(instrument__name="Old Ohmvalk")
    checking.check(used, resistor, reading=101.2, by=by, at=timezone.now() - datetime.timedelta(days=1))
