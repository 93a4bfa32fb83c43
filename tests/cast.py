"""The fixed cast of the tests: small functions that make one thing each, through the portal's own verbs.

`make_cast()` makes the people that most tests of pages need; a test that needs more calls the functions itself. Names
and addresses are invented; postcodes are real. Managers and administrators get a second factor, which their roles ask.
"""

from __future__ import annotations

import datetime
import io
import itertools
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from allauth.account.models import EmailAddress
from allauth.mfa.models import Authenticator
from django.utils import timezone
from django.utils.text import slugify
from PIL import Image

from diagnostics import checking, reference_readings, sharing_sheets
from diagnostics.kinds import all_kinds
from diagnostics.models import (
    CheckResistor,
    Instrument,
    InstrumentCheck,
    InstrumentRange,
    Record,
    SharedFigures,
    SharedSheet,
    Sheet,
    SystemFamily,
)
from diagnostics.recording import Entry, add_record
from jobs import enquiring, working
from jobs.models import Customer, Enquiry, Job, Vehicle
from network import api_tokens, work
from network import membership as entering
from network.access import acting_for
from network.models import ApiToken, Application, Membership, Place, Qualification, Region, User, Workshop
from network.pictures import Cleaned
from parts import entering as entering_numbers
from parts import sourcing, superseding
from parts.models import Answer, PartNumber, PartRequest, Supersession

PASSWORD = "ring closes at nine segments"
TOTP_SECRET = "JBSWY3DPEHPK3PXP"  # base32; the second factor of every manager and administrator of the cast
_numbers = itertools.count(1)


@dataclass(frozen=True, kw_only=True)
class Cast:
    """Two workshops whose rows must never meet, and everybody who stands outside of both."""

    a: Workshop
    b: Workshop
    technician: Membership  # of A
    manager: Membership  # of A
    member_of_b: Membership  # a technician of B
    suspended: Membership  # an active member of a workshop that was suspended
    application: Application  # waits for a decision
    applicant: User
    administrator: User
    inactive: User  # an active member of A who may no longer sign in


def make_cast() -> Cast:
    """Everybody; A lies in the region "meuse", B in "rur"."""
    administrator = make_administrator()
    meuse, rur = make_region("meuse", "Upper Meuse"), make_region("rur", "Rur")
    a = make_workshop("Ateliers Hautpré", region=meuse)
    b = make_workshop("Hybridwerk Rureifel", region=rur, country="DE", postcode="52349", latitude=50.80, longitude=6.48)
    inactive = make_member(a, name="Jos Vertrokken")
    User.objects.filter(pk=inactive.person_id).update(is_active=False)
    inactive.person.refresh_from_db()
    out = make_workshop("Garage Stilstand", region=meuse)
    suspended = make_member(out, name="Sus Pauze")
    out.suspend(by=administrator, reason="Insurance ran out.")
    waiting = make_workshop("Voltwerk Wachtend", state="applied", region=meuse)
    return Cast(
        a=a,
        b=b,
        technician=make_member(a, name="Ilse Vandamme"),
        manager=make_member(a, "manager", name="Corinne Hautpré"),
        member_of_b=make_member(b, name="Anke Brockhausen"),
        suspended=suspended,
        application=waiting.application,
        applicant=waiting.application.applicant,
        administrator=administrator,
        inactive=inactive.person,
    )


# Who and where


def make_region(code: str = "meuse", name: str = "") -> Region:
    """The region with this code, made where it isn't there yet."""
    return Region.objects.get_or_create(code=code, defaults={"name": name or code.title()})[0]


def make_place(
    country: str = "BE",
    postcode: str = "4000",
    name: str = "Liège",
    latitude: float = 50.633,
    longitude: float = 5.567,
    precision: str = "code",
) -> Place:
    """A postcode that the portal knows."""
    return Place.objects.create(
        country=country,
        postcode=postcode,
        normalised=postcode.replace(" ", "").upper(),
        name=name,
        latitude=latitude,
        longitude=longitude,
        precision=precision,
    )


def make_person(name: str = "Jonas Feld", *, factor: bool = False, **fields: Any) -> User:
    """Somebody who can sign in with PASSWORD, with a second factor where asked."""
    email = fields.pop("email", f"{slugify(name) or 'person'}-{next(_numbers)}@bench.example")
    person = User.objects.create_user(email=email, name=name, password=PASSWORD, **fields)
    EmailAddress.objects.create(user=person, email=person.email, verified=True, primary=True)
    if factor:
        make_factor(person)
    return person


def make_factor(person: User) -> Authenticator:
    """A second factor, as if set up with an authenticator app."""
    return Authenticator.objects.create(user=person, type=Authenticator.Type.TOTP, data={"secret": TOTP_SECRET})


def make_administrator(name: str = "Hedda Ringelstein", *, factor: bool = True) -> User:
    return make_person(name, factor=factor, is_administrator=True)


def make_workshop(
    name: str = "Ateliers Hautpré",
    *,
    state: str = "approved",
    region: Region | None = None,
    country: str = "BE",
    postcode: str = "4040",
    latitude: float = 50.66,
    longitude: float = 5.63,
    town: str = "Herstal",
    **fields: Any,
) -> Workshop:
    """A workshop that applied and, unless `state` is "applied", was decided. Its applicant is its first manager."""
    applicant = make_person(f"Founder of {name}", factor=True)
    workshop = Workshop(
        name=name,
        country=country,
        postcode=postcode,
        town=town,
        latitude=latitude,
        longitude=longitude,
        region=region or make_region(),
        street=fields.pop("street", "Rue du Banc 1"),
        email=fields.pop("email", f"{slugify(name)}@bench.example"),
        phone=fields.pop("phone", "+49 30 23125 001"),  # of a range reserved for drama
        business_number=fields.pop("business_number", "0999000129"),
        **fields,
    )
    application = entering.apply(workshop=workshop, people=[], by=applicant)
    if state == "declined":
        application.decline(by=_somebody_who_decides(), reason="The papers could not be confirmed.")
    elif state != "applied":
        application.approve(by=_somebody_who_decides(), reason="Papers looked at.", seen={})
    workshop.refresh_from_db()
    if state == "suspended":
        workshop.suspend(by=_somebody_who_decides(), reason="Insurance ran out.")
        workshop.refresh_from_db()
    return workshop


def _somebody_who_decides() -> User:
    return User.objects.filter(is_administrator=True).first() or make_administrator()


def make_member(
    workshop: Workshop, role: str = "technician", *, name: str = "Jonas Feld", live_work: bool = False
) -> Membership:
    """Somebody who was named by the workshop and agreed; `live_work` adds a paper that authorises it."""
    person = make_person(name, factor=role == "manager")
    membership = Membership.objects.create(person=person, workshop=workshop, role=role)
    membership.agree(by=person)
    membership.refresh_from_db()
    if live_work:
        make_qualification(person, ["general_diagnosis"], live_work=True)
    return membership


def make_qualification(
    person: User,
    covers: list[str],
    *,
    expires_on: datetime.date | None = None,
    state: str = "verified",
    live_work: bool = False,
    title: str = "High-voltage technician, level 3",
) -> Qualification:
    """A paper in the state; verified by the first administrator, and good for a year unless told otherwise."""
    paper = Qualification.objects.create(
        holder=person,
        title=title,
        issuer="Kring Institute of Vehicle Trades",
        certificate=f"KI-{next(_numbers):05d}",
        work_bits=work.to_bits(covers),
        live_work=live_work,
        expires_on=expires_on or timezone.localdate() + datetime.timedelta(days=365),
    )
    if state == "verified":
        paper.verify(by=_somebody_who_decides(), proof="paper_seen")
    elif state == "refused":
        paper.refuse(by=_somebody_who_decides(), reason="The issuer does not know it.")
    paper.refresh_from_db()
    return paper


def make_token(membership: Membership, name: str = "Logger of bench 2") -> tuple[ApiToken, str]:
    """A token of the member's workshop, and its text."""
    with acting_for(membership.workshop):
        return api_tokens.make(name=name, by=membership)


# Measuring


def make_family(entered_by: Workshop, **fields: Any) -> SystemFamily:
    """An invented family: a hybrid with one machine, unless told otherwise."""
    facts: dict[str, Any] = {
        "maker": "Lanner", "name": "Vireo 1.8 hybrid (LN 27)", "drive": "hybrid", "nominal_v": 201.6,
        "highest_working_v": 650, "chemistry": "nickel_metal_hydride", "blocks": 14, "rated_ah": 6.5, "machines": 1,
        "machine_type": "permanent_magnet", "connection": "wye",
    }  # fmt: skip
    return SystemFamily.objects.create(entered_by=entered_by, **facts | fields)


def make_instrument(
    workshop: Workshop,
    unit: str = "V",
    highest: float = 1000,
    *,
    name: str = "",
    due_in_days: int | None = 200,
    percent_of_reading: float = 0.1,
    counts: float = 3,
    resolution: float = 0.1,
) -> InstrumentRange:
    """One range on an instrument of its own, in date for 200 days unless told otherwise (None: no date)."""
    due = None if due_in_days is None else timezone.localdate() + datetime.timedelta(days=due_in_days)
    with acting_for(workshop):
        meter = Instrument(name=name or f"Brisk {next(_numbers)}", serial="88-20119", calibration_due=due)
        meter.save()
        made = InstrumentRange(
            instrument=meter, unit=unit, highest=highest, percent_of_reading=percent_of_reading, counts=counts,
            resolution=resolution,
        )  # fmt: skip
        made.save()
    return made


def make_resistor(member: Membership, used: InstrumentRange, *, due_in_days: int = 100) -> CheckResistor:
    """A certified resistor in the middle of this range; its certificate is ten times finer than the meter."""
    with acting_for(member.workshop):
        value = used.highest / 2
        fineness = (value * used.percent_of_reading / 100 + used.counts * used.resolution) / 10
        return checking.keep_resistor(
            CheckResistor(
                name=f"Normal {next(_numbers)}", serial="N-4711", unit=used.unit, certified_value=value,
                certified_uncertainty=fineness, certificate="K 118, Eichwerk, this year",
                due=timezone.localdate() + datetime.timedelta(days=due_in_days),
            ),
            by=member,
        )  # fmt: skip


def make_check(
    member: Membership, used: InstrumentRange, resistor: CheckResistor, off: float = 0.0, days_ago: int = 0
) -> InstrumentCheck:
    """The resistor read with this range, off by so many times the accuracy that the meter states."""
    allowed = resistor.certified_value * used.percent_of_reading / 100 + used.counts * used.resolution
    with acting_for(member.workshop):
        return checking.check(
            used, resistor, reading=resistor.certified_value + off * allowed, by=member,
            at=timezone.now() - datetime.timedelta(days=days_ago),
        )  # fmt: skip


def make_sheet(membership: Membership, title: str = "Inverter on the bench", **fields: Any) -> Sheet:
    """A sheet without a job, for a part on the bench."""
    with acting_for(membership.workshop):
        sheet = Sheet(title=title, made_by=membership.person, **fields)
        sheet.save()
    return sheet


def make_shared_figures(
    membership: Membership, record: Record, turned: str = "sound", mileage: str = "150"
) -> SharedFigures:
    """The figures of a record, shared as reference readings."""
    with acting_for(membership.workshop):
        return reference_readings.share(record, by=membership, turned=turned, mileage=mileage)


WINDINGS = {"leads_milliohm": 0.4, "uv_milliohm": 93.6, "vw_milliohm": 93.9, "wu_milliohm": 95.4}


def make_record(
    membership: Membership,
    sheet: Sheet,
    kind: str = "machine_windings",
    values: dict[str, Any] | None = None,
    **entry: Any,
) -> Record:
    """A record on the sheet; by default the windings of machine 1 on the bench, which never needs a second person."""
    entry = {"state": "bench", "subject": "1" if kind == "machine_windings" else ""} | entry
    with acting_for(membership.workshop):
        return add_record(
            Entry(
                sheet=sheet,
                kind=all_kinds()[kind],
                taken_by=membership,
                values=WINDINGS if values is None else values,
                **entry,
            )
        )


def make_shared_sheet(membership: Membership, sheet: Sheet, **chosen: str) -> SharedSheet:
    """A copy of the sheet that every member sees."""
    with acting_for(membership.workshop):
        return sharing_sheets.freeze(sheet, by=membership, **{"title": "Machine of a Vireo"} | chosen)


# The work


def make_enquiry(workshop: Workshop, **fields: Any) -> Enquiry:
    """An enquiry that an owner sent to the workshop, each from a connection of its own."""
    facts: dict[str, Any] = {
        "work_wanted": "inverter", "vehicle": "Lanner Vireo 1.8 hybrid, 2016", "symptom": "Stops uphill when warm.",
        "lamps": "red triangle", "can_drive": "yes", "name": "Anneke Terwold",
        "email": f"owner-{next(_numbers)}@terwold.example", "phone": "+49 30 23125 900",
    }  # fmt: skip
    connection = f"connection {next(_numbers)}"
    return enquiring.send(enquiry=Enquiry(**facts | fields), workshop=workshop, from_address=connection)


def make_job(
    membership: Membership,
    family: SystemFamily | None = None,
    *,
    enquiry: Enquiry | None = None,
    codes: tuple[str, ...] = ("P0A94",),
    complaint: str = "Stops uphill when warm.",
    customer: dict[str, Any] | None = None,
    vehicle: dict[str, Any] | None = None,
) -> Job:
    """A car booked in by the member, with its customer, vehicle and sheet."""
    owner = {"name": "Anneke Terwold", "email": "anneke@terwold.example", "phone": "+49 30 23125 900"}
    car = {"description": "Lanner Vireo 1.8 hybrid, 2016", "registration": "1-LNR-208", "odometer_km": 186_240}
    with acting_for(membership.workshop):
        return working.book_in(
            by=membership,
            customer=Customer(**owner | (customer or {})),
            vehicle=Vehicle(**car | {"family": family} | (vehicle or {})),
            complaint=complaint,
            codes=codes,
            enquiry=enquiry,
        )


# The board


def make_request(
    membership: Membership, regions: list[Region] | None = None, *, job: Job | None = None, **fields: Any
) -> PartRequest:
    """A request sent to the regions (all, unless told otherwise); with `job`, the job waits for it."""
    request = PartRequest(
        **{"number": "LN 27 410-0", "description": "Inverter with two machine stages", "marks": "two dots"} | fields
    )
    chosen = list(Region.objects.all()) if regions is None else regions
    if job is None:
        return sourcing.ask(request=request, regions=chosen, by=membership)
    with acting_for(membership.workshop):
        return working.ask_for_part(job=job, request=request, regions=chosen, by=membership)


def make_answer(request: PartRequest, membership: Membership, price: str | None = "340.00", **fields: Any) -> Answer:
    """An answer of the member's workshop to a request of another one."""
    facts: dict[str, Any] = {
        "offer": "have_one", "price": None if price is None else Decimal(price), "freight": Decimal("72.50"), "currency": "EUR",
        "condition": "used", "days_to_arrive": 7, "marks": "two dots",
    }  # fmt: skip
    return sourcing.answer(answer=Answer(**facts | fields), request=request, by=membership)


def make_number(membership: Membership, number: str = "LN 27 410-0", **fields: Any) -> PartNumber:
    """A part number that the member entered."""
    facts = {"maker": "Lanner", "kind": "inverter", "description": "Inverter with two machine stages"} | fields
    families = facts.pop("families", [])
    return entering_numbers.enter_number(number=PartNumber(number=number, **facts), families=families, by=membership)


def make_statement(membership: Membership, old: PartNumber, new: PartNumber, **fields: Any) -> Supersession:
    """The member states that one number is replaced by the other."""
    facts = {"evidence": "Lanner parts bulletin 14-77"} | fields
    return superseding.state(statement=Supersession(old=old, new=new, **facts), by=membership)


def make_picture() -> Cleaned:
    """A small grey picture, as the form field hands it on."""
    written = io.BytesIO()
    Image.new("RGB", (40, 30), "grey").save(written, "JPEG")
    return Cleaned(data=written.getvalue(), width=40, height=30)
