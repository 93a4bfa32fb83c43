"""Jobs of the demo that came far: one handed over with its report, one whose inverter is fitted and being proved."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from diagnostics.models import Record, SystemFamily
from jobs import causes, codes, evidence, working
from jobs.models import CodeReading, Customer, Job, Vehicle
from network.access import acting_for
from network.models import Membership, Region
from parts import sourcing
from parts.models import Answer, PartRequest
from portal.demo import estimates, photos
from portal.demo import recording as read
from portal.demo.network import Cast
from portal.demo.work import ISOLATION, PROOF, WINDINGS, make_safe, record

# What is signed before an inverter is fitted, in the words of the workshop.
SIGNED = {
    "makers_procedure": "Lanner service data 14-200, edition 2019, pages 3 to 18",
    "connectors_dry": "Inverter inlet, both machine connectors: dry, no green, pins straight",
    "phase_cables": "All six cables: no rubbing, lugs tight, no sign of heat",
    "coding_saved": "Data set of the old inverter read out and kept with the job's papers",
    "identity": "LN 27 410-0, two dots beside the serial number, software 4.12; no donor lock, coded by Ilse",
    "torque_tool": "Torque wrench DM-20, no. 5512, check due next March",
}
FITTING: dict[str, dict[str, Any]] = {
    "mounted": {"words": "Six screws, crosswise, new ones", "torque_nm": 9.0, "tool": "DM-20"},
    "connected": {"words": "Six phase lugs, two of the link, seals new", "torque_nm": 8.5, "tool": "DM-20"},
    "earth_strap": {"words": "Bare metal on both sides", "torque_nm": 6.0, "tool": "DM-20"},
    "coolant_filled": {"words": "Air-cooled: nothing to fill; duct and filter clean, flap moves"},
    "offset_learnt": {"words": "Machine 1: 118 to 121, machine 2: 64 to 63, by the maker's routine"},
    "coded": {"words": "Data set of the old unit written back, counter of cycles reset, with Ilse's tester"},
}
HANDED_OVER = "Have the fan's filter cleaned every year; with a dog in the car twice"


def load_finished(*, cast: Cast, families: dict[str, SystemFamily]) -> None:
    """Both through the verbs of the work, acting for their workshop."""
    workshop = cast.hautpre
    ilse, bram = (cast.member(workshop, f"{name}@hautpre.example") for name in ("ilse", "bram"))
    with acting_for(workshop):
        done = _booked_in(ilse, families, "Sietske Haverkamp", "sietske@haverkamp.example", "1-LNR-344", 164_900)
        _cleared(done, cast, ilse, bram)
        estimates.agree(done, estimates.WHOLE, ilse)
        estimates.use(done, estimates.WHOLE, ilse)
        _fitted(done, ilse, bram)
        _proved(done, ilse, bram)
        working.sign(job=done, step="handed_over", words=HANDED_OVER, good=True, by=ilse)
        proving = _booked_in(ilse, families, "Joris Tillemans", "joris@tillemans.example", "1-LNR-871", 203_150)
        _cleared(proving, cast, ilse, bram)
        estimates.agree(proving, estimates.WHOLE, ilse)
        estimates.use(proving, (*estimates.WHOLE, estimates.CLEAN), ilse)
        _fitted(proving, ilse, bram)


def _fitted(job: Job, by: Membership, beside: Membership) -> None:
    """Every step of the inverter's list, bonding measured again, and the fitting signed."""
    working.sign_several(job=job, typed=[{"step": step, **facts} for step, facts in FITTING.items()], by=by)
    record(job, "interlock_bonding", "dead", read.BONDING, by, beside, "Ohmvalk 20", 50_000_000)
    working.sign(job=job, step="fitted", words="Inverter LN 27 410-0, two dots", good=True, by=by)


def _proved(job: Job, by: Membership, beside: Membership) -> None:
    """Isolation, fan and load run measured after the fitting, road test, codes read again; the outlook is waived."""
    record(job, "vehicle_isolation", "live", ISOLATION, by, beside, "Brisk 88", 1000)
    record(job, "fan_sweep", "twelve_volt", read.FAN, by, beside, "Toerental 4", 9999)
    record(job, "load_run", "live", read.LOAD_RUN, by, beside, "Warmte 3", 400)
    driven = "24 km, 6 of them uphill with two on board; no jerk, no lamp; Ilse drove"
    working.sign(job=job, step="road_test", words=driven, good=True, by=by)
    codes.add(job=job, codes=(), by=by, stage=CodeReading.Stage.AFTER)
    evidence.waive(
        job=job, requirement="outlook", by=by,
        reason="The owner did not order a measurement of the battery's capacity",
    )  # fmt: skip
    working.sign(job=job, step="proved", words="Isolation as before, no code comes back", good=True, by=by)


def _booked_in(
    by: Membership, families: dict[str, SystemFamily], name: str, email: str, registration: str, odometer: int
) -> Job:
    return working.book_in(
        by=by,
        customer=Customer(name=name, email=email, phone="+49 30 23125 903"),
        vehicle=Vehicle(
            description="Lanner Vireo 1.8 hybrid, 2017", family=families["vireo"], registration=registration,
            odometer_km=odometer,
        ),
        complaint="Red triangle and no power uphill; after ten minutes it drives again.",
        recalls=Job.Recalls.NONE_OPEN,
        codes=("P0A94", "P0A78"),
    )  # fmt: skip


def _cleared(job: Job, cast: Cast, by: Membership, beside: Membership) -> None:
    """Everything that an inverter's clearance asks for, in the order of the work; one requirement is waived."""
    record(job, "vehicle_isolation", "live", ISOLATION, by, beside, "Brisk 88", 1000)
    record(job, "fan_sweep", "twelve_volt", read.FAN, by, beside, "Toerental 4", 9999)
    make_safe(job, by, beside)
    record(job, "absence_of_voltage", "dead", PROOF, by, beside, "Brisk 88", 100)
    record(job, "interlock_bonding", "dead", read.BONDING, by, beside, "Ohmvalk 20", 50_000_000)
    record(job, "contactors", "dead", read.CONTACTORS, by, beside, "Ohmvalk 20", 50_000_000)
    sensor = read.sensor(read.meter("Ohmvalk 500", 550))
    for machine in ("1", "2"):
        at: dict[str, Any] = {"subject": machine, "temperature_c": 24.5}
        record(job, "machine_windings", "dead", WINDINGS, by, beside, "Tarn 0317", 200, **at)
        record(job, "winding_insulation", "dead", read.INSULATION, by, beside, "Ohmvalk 500", 550, **at)
        record(job, "position_sensor", "dead", sensor, by, beside, "Ohmvalk 20", 50_000_000, subject=machine)
        record(job, "winding_inductance", "dead", read.INDUCTANCE, by, beside, "Spoel 9", 2000, subject=machine)
    for stage in ("machine_1", "machine_2"):
        record(job, "power_stage_diodes", "bench", read.diodes(stage), by, beside, "Brisk 88", 4)
    evidence.waive(
        job=job, requirement="new_unit_diodes", by=by,
        reason="The boost stage can't be reached without opening the new unit; both machine stages are measured",
    )  # fmt: skip
    for step, words in SIGNED.items():
        working.sign(job=job, step=step, words=words, good=True, by=by)
    _name_cause(job, by)
    _received(job, cast, by)


def _name_cause(job: Job, by: Membership) -> None:
    """With the records that show it, and two photos with marks."""
    causes.name(
        job=job, by=by, seen=0, pictures=[photos.power_stage(), photos.air_duct()],
        failed_part="Low-side switch of phase V",
        made_it_fail="Its cooling fan stood still: the duct was packed with dog hair",
        evidence=Record.objects.filter(sheet=job.sheet, kind__in=("fan_sweep", "power_stage_diodes")),
    )  # fmt: skip
    stage, duct = job.pictures.order_by("pk")
    causes.mark(picture=stage, x=50, y=65, words="Burnt through; soot on the plate around it", by=by)
    causes.mark(picture=duct, x=38, y=50, words="Hair and dust across two thirds of the grille", by=by)


def _received(job: Job, cast: Cast, by: Membership) -> None:
    """The part asked for, offered by another region, accepted, and looked at when it came."""
    request = PartRequest(
        number="LN 27 410-0", description="Inverter with two machine stages", family=job.sheet.family, off_road=True,
        marks="two dots beside the serial number",
    )  # fmt: skip
    asked = working.ask_for_part(job=job, request=request, regions=list(Region.objects.all()), by=by)
    offer = Answer(
        offer="have_one", price=Decimal(340), freight=Decimal("72.50"), currency="EUR", condition="used",
        days_to_arrive=7, marks="two dots",
    )  # fmt: skip
    answer = sourcing.answer(answer=offer, request=asked, by=cast.member(cast.rureifel))
    sourcing.accept(answer=answer, by=by)
    asked.refresh_from_db()
    sourcing.receive(
        request=asked, by=by, number_as_ordered=True, marks_as_ordered=True, remark="Well packed, dry, dots as asked"
    )
