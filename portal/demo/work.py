"""Enquiries and jobs of the demo's first workshop, at several stages, through the verbs of the work."""

from __future__ import annotations

import datetime
from typing import Any

from django.utils import timezone

from diagnostics.kinds import all_kinds
from diagnostics.models import InstrumentRange, SystemFamily
from diagnostics.recording import Entry, add_record
from jobs import bays, booking, codes, enquiring, making_safe, passing_on, working
from jobs.models import Bay, Customer, Enquiry, Job, Vehicle
from network.access import acting_for
from network.models import Membership, Region
from network.pictures import keep
from network.signing import set_code
from parts.models import PartRequest
from portal.demo import estimates, photos
from portal.demo.cast import SIGNING_CODES
from portal.demo.network import Cast

ENQUIRIES = [
    ("inverter", "Lanner Vireo 1.8 hybrid, 2016", "Stops uphill after ten minutes, goes again when it has cooled.",
     "red triangle", "Anneke Terwold", "anneke@terwold.example"),
    ("traction_battery", "Lanner Kestrel E, 2019", "Range has fallen from 300 to 170 km within a year.", "",
     "Piet Oosterling", "piet@oosterling.example"),
    ("charging", "Marsk Fjordling, 2021", "Charging stops after five minutes at every post.", "yellow plug",
     "Mireille Fontan", "mireille@fontan.example"),
]  # fmt: skip

# A proof, and the readings of a job that waits for its winding insulation. Values as typed.
PROOF: dict[str, Any] = {
    "makers_wait": "Lanner service data 14-001, edition 2019: as stated there", "points": "inverter inlet",
    "meter_proved_before": True, "positive_to_negative_v": 0.3, "positive_to_body_v": 0.1, "negative_to_body_v": 0.2,
    "meter_proved_after": True,
}  # fmt: skip
SAFE_STEPS: dict[str, dict[str, Any]] = {
    "charge_lead": {"done": True}, "wheels": {"done": True}, "key": {"where": "key box at the office"},
    "twelve_volt": {"done": True},
    "gloves": {"glove_class": "0", "in_date_until": "2099-01-01", "air_tested": True},
    "disconnect": {"how": "locked in box 3"},
    "wait": {"minutes": 10.0, "source": "Lanner service data 14-001, edition 2019", "done": True},
    "proving_source": {"proving_source": "battery box 88, 240 V"},
    "points": {"points": "inverter inlet; body: bolt M8"},
}  # fmt: skip
ISOLATION: dict[str, Any] = {
    "pole_to_pole_v": 201.6, "negative_to_body_v": 100.8, "positive_to_body_v": 100.8, "resistor_kilohm": 100.8,
    "resistor_tolerance_percent": 1.0, "with_resistor_v": 9.23, "monitor": "off",
}  # fmt: skip
WINDINGS: dict[str, Any] = {"leads_milliohm": 0.4, "uv_milliohm": 93.6, "vw_milliohm": 93.9, "wu_milliohm": 95.4}


def load_work(*, cast: Cast, families: dict[str, SystemFamily], today: datetime.date) -> None:
    """Three enquiries, one of them a job that stands at measuring; another job finished and one just booked in."""
    workshop = cast.hautpre
    ilse = cast.member(workshop, "ilse@hautpre.example")
    bram = cast.member(workshop, "bram@hautpre.example")
    for member in (ilse, bram):
        set_code(person=member.person, code=SIGNING_CODES[member.person.email])
    pictures = [[photos.dashboard()], [], []]
    sent = [
        enquiring.send(
            enquiry=_enquiry(*facts), workshop=workshop, from_address=f"demo {number}", pictures=pictures[number]
        )
        for number, facts in enumerate(ENQUIRIES)
    ]
    with acting_for(workshop):
        half_past = timezone.now().replace(minute=30, second=0, microsecond=0)
        dates = [half_past + datetime.timedelta(days=days) for days in (2, 5)]
        sent[1].reply(by=bram, answer="We measure its capacity first; that takes a morning.", dates=dates)
        if better := passing_on.better_qualified(sent[2]):
            passing_on.propose(enquiry=sent[2], to=better[0].workshop, by=ilse)
        measured = _job_at_measuring(sent[0], ilse, bram, families)
        for name, job in (("Bay 1, lift", measured), ("Bay 2, high voltage", None)):
            bay = bays.enter(Bay(name=name), by=ilse)
            if job:
                bays.put_in(bay, job, by=ilse)
        _job_in_quarantine(bram, families)
        working.book_in(
            by=bram,
            customer=Customer(name="Lambert Claes", phone="+49 30 23125 901"),
            vehicle=Vehicle(
                description="Tarnholt Tarsis H, 2015", family=families["tarsis"], registration="1-TSS-015",
                odometer_km=211_400,
            ),
            complaint="Jerks at pull-away, then limps.",
            codes=("P0A90",),
        )  # fmt: skip


def _enquiry(work: str, vehicle: str, symptom: str, lamps: str, name: str, email: str) -> Enquiry:
    return Enquiry(
        work_wanted=work,
        vehicle=vehicle,
        symptom=symptom,
        lamps=lamps,
        can_drive=Enquiry.CanDrive.YES,
        name=name,
        email=email,
        phone="+49 30 23125 900",
    )


def _job_in_quarantine(by: Membership, families: dict[str, SystemFamily]) -> None:
    """A car that came off a trailer after a crash, with a smell: outside, watched."""
    job = working.book_in(
        by=by,
        customer=Customer(name="Odile Marchal", phone="+49 30 23125 902"),
        vehicle=Vehicle(
            description="Lanner Kestrel E, 2020", family=families["kestrel"], registration="1-KST-320",
            odometer_km=64_900, driven_wheels="rear",
        ),
        complaint="Ran over a kerb stone; since then it says: stop.",
        triage=["crash", "smell"],
        can_drive="no",
    )  # fmt: skip
    for celsius, place in ((17.5, "floor, middle"), (18.0, "floor, middle")):
        booking.watch(job=job, celsius=celsius, place=place, by=by)


def _job_at_measuring(enquiry: Enquiry, ilse: Membership, bram: Membership, families: dict[str, SystemFamily]) -> Job:
    job = working.book_in(
        by=ilse,
        customer=Customer(name=enquiry.name, email=enquiry.email, phone=enquiry.phone),
        vehicle=Vehicle(
            description=enquiry.vehicle,
            family=families["vireo"],
            registration="1-LNR-208",
            odometer_km=186_240,
            vin="JH2RC3605MM101581",
            driven_wheels="front",
        ),
        complaint=enquiry.symptom,
        recalls=Job.Recalls.NONE_OPEN,
        warranty=Job.Warranty.OVER,
        asked_note="Lanner’s desk, by phone",
        may_dismantle=True,
        may_drive_live=True,
        old_parts_back=True,
        can_drive="yes",
        codes=("P0A94", "P0A78"),
        enquiry=enquiry,
    )
    working.sign(
        job=job, step="makers_procedure", words="Lanner service data 14-200, edition 2019, pages 3 to 18", good=True,
        by=ilse,
    )  # fmt: skip
    record(job, "vehicle_isolation", "live", ISOLATION, ilse, bram, "Brisk 88", 1000)
    make_safe(job, ilse, bram)
    record(job, "absence_of_voltage", "dead", PROOF, ilse, bram, "Brisk 88", 100)
    record(job, "machine_windings", "dead", WINDINGS, ilse, bram, "Tarn 0317", 200, subject="1", temperature_c=24.5)
    request = PartRequest(
        number="LN 27 410-0", description="Inverter with two machine stages", family=families["vireo"], off_road=True,
        marks="two dots beside the serial number", part_kind="inverter",
        needed_by=timezone.localdate() + datetime.timedelta(days=10),
    )  # fmt: skip
    working.ask_for_part(job=job, request=request, regions=list(Region.objects.all()), by=ilse)
    codes.note(
        code=job.codes.get(code="P0A94"), detail="553", by=ilse,
        words="Boost converter: its voltage doesn’t follow what is commanded",
        freeze_frame="km 186 231; 62 km/h; link 412 V of 650 V wanted; inverter coolant 71 °C; battery 46 %",
    )  # fmt: skip
    job.pictures.add(keep(photos.plate(), by=ilse.person, caption="Plate of the old unit"))
    estimates.agree(job, (estimates.FIND,), ilse, "We measure first; you hear what it is before anything is fitted.")
    estimates.send(job, estimates.WHOLE, ilse)
    return job


def make_safe(job: Job, by: Membership, beside: Membership) -> None:
    """Every step of making safe, in its order; the service disconnect came out half an hour ago."""
    for code, facts in SAFE_STEPS.items():
        ago = 0 if code in ("wait", "proving_source", "points") else 30
        at = timezone.now() - datetime.timedelta(minutes=ago)
        making_safe.do(job=job, step=code, facts=facts, by=by, beside=beside.person, at=at)


def record(
    job: Job,
    kind: str,
    state: str,
    values: dict[str, Any],
    by: Membership,
    stood_by: Membership,
    instrument: str,
    highest: float,
    subject: str = "",
    temperature_c: float | None = None,
) -> None:
    """One record on the job's sheet, with an instrument of the workshop."""
    add_record(
        Entry(
            sheet=job.sheet,
            kind=all_kinds()[kind],
            taken_by=by,
            state=state,
            values=values,
            subject=subject,
            stood_by=stood_by.person,
            instrument_range=InstrumentRange.objects.get(instrument__name=instrument, highest=highest),
            temperature_c=temperature_c,
        )
    )
