"""The rows and the typed forms that `tests/access_matrix.py` names: of A, of B, of nobody, and in every state it asks.

`Scene.objects` maps the name of an object to what its address needs, `Scene.payloads` the name of a payload to what
is sent: the form of a POST, the query of a GET.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

from allauth.mfa.models import Authenticator
from django.core import signing
from django.urls import resolve
from django.utils import timezone

from diagnostics import reference_readings, sharing_sheets
from diagnostics.chain import hash_of_body
from diagnostics.models import (
    EarlierCapacity,
    FamilyLimit,
    InstrumentCheck,
    InstrumentRange,
    MeasurementLog,
    Record,
    Sheet,
    SystemFamily,
)
from jobs import evidence, following, lists, owner_link, second_looks, sharing, working
from jobs.models import Enquiry, FollowedRepair, FollowUp, Job, JobCode, Outcome, SecondLook
from network import pictures
from network.access import PrivateModel, acting_for
from network.models import Event, KeptAnswer, Membership, Notice, Picture, Region, SharedPicture, User
from network.unsubscribing import link_for
from parts import entering, superseding
from parts.models import PartRevision
from tests import access_scene_beginning as beginning
from tests import access_scene_estimates as estimates
from tests import access_scene_finishing as finishing
from tests import access_scene_measuring as measuring
from tests import cast as made
from tests.access_scene_board import PAYLOADS as ON_THE_BOARD
from tests.access_scene_board import board_rows
from tests.cast import Cast

MISSING = 987_654_321
PERSON = {
    "people-TOTAL_FORMS": "1", "people-INITIAL_FORMS": "0", "people-0-name": "Lot Nieuw",
    "people-0-email": "lot@bench.example", "people-0-role": "technician", "people-0-title": "Level 3",
    "people-0-issuer": "Kring Institute", "people-0-certificate": "KI-1", "people-0-covers": "inverter",
    "people-0-expires_on": "2099-01-01",
}  # fmt: skip
REVISION = {"name": "Two dots", "dots": "2", "standing": "unknown", "donor_lock": "unknown"}
FAMILY = {
    "maker": "Lanner", "name": "Kestrel E", "drive": "electric", "nominal_v": "355", "highest_working_v": "420",
    "chemistry": "lithium_ion", "blocks": "96", "rated_ah": "150", "machines": "1",
    "machine_type": "permanent_magnet", "connection": "wye",
}  # fmt: skip
WINDINGS = measuring.WINDINGS
ENQUIRY = {
    "work_wanted": "inverter", "vehicle": "Vireo 2016", "symptom": "It stops.", "can_drive": "yes",
    "name": "Piet Oosterling", "email": "piet@oosterling.example", "consent": "on",
}  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class House:
    """What one workshop has: one row at least of every private model."""

    member: Membership
    enquiry: Enquiry
    withdrawn: Enquiry
    job: Job
    finished: Job
    record: Record
    instrument: InstrumentRange
    limit: FamilyLimit
    outcome: Outcome
    asked: FollowUp
    said: FollowUp
    picture: Picture
    log: MeasurementLog
    earlier: EarlierCapacity
    check: InstrumentCheck
    bench: Sheet
    code: JobCode


@dataclass(frozen=True, kw_only=True)
class Scene:
    cast: Cast
    named: Membership
    a: House
    b: House
    objects: dict[str, dict[str, Any]]
    payloads: dict[str, dict[str, Any]]

    def people(self) -> dict[str, User | None]:
        """Who signs in for each column of the table; an owner has no account but a link (`link_of_a`)."""
        cast = self.cast
        return {
            "visitor": None,
            "owner": None,
            "applicant": cast.applicant,
            "technician": cast.technician.person,
            "manager": cast.manager.person,
            "member_of_b": cast.member_of_b.person,
            "suspended": cast.suspended.person,
            "administrator": cast.administrator,
            "inactive": cast.inactive,
        }


def build() -> Scene:
    """Everything, made through the verbs of the portal; it takes half a second."""
    cast = made.make_cast()
    for code in ("4040", "4020"):
        made.make_place(postcode=code)
    for member in (cast.technician, cast.member_of_b):
        made.make_qualification(member.person, ["inverter"])
    family = made.make_family(cast.a)
    third = made.make_member(made.make_workshop("Atelier Moutfort", region=made.make_region("mosel")), name="Claude")
    named = Membership.objects.create(person=cast.technician.person, workshop=third.workshop, role="technician")
    a, b = (_house(member, family) for member in (cast.technician, cast.member_of_b))
    board = board_rows(cast, third) | _second_looks(cast, a, b, third)
    return Scene(
        cast=cast,
        named=named,
        a=a,
        b=b,
        objects=_objects(cast, named, a, b, family) | board,
        payloads=_payloads(cast, named, a, b, family),
    )


def _house(member: Membership, family: SystemFamily) -> House:
    workshop = member.workshop
    enquiry, withdrawn = made.make_enquiry(workshop), made.make_enquiry(workshop)
    job, finished = made.make_job(member, family), made.make_job(member, family)
    instrument = made.make_instrument(workshop, "milliohm", 200, name=f"Tarn of {workshop}")
    with acting_for(workshop):
        withdrawn.withdraw()
        code = beginning.beginning_of(job, member)
        estimates.estimates_of(job, *(made.make_job(member, family) for _job in range(2)), by=member)
        log = measuring.read_log(job, member)
        working.sign(job=job, step="makers_procedure", words="Document 14-200", good=True, by=member)
        evidence.waive(job=job, requirement="torque_tool", reason="borrowed", by=member)
        evidence.disturb(job=job, what="wiring_touched", by=member)
        lists.change(part="other", stage="proving", code="road_test", title="Hill test", ask="Which hill", by=member)
        facts = {"instrument_range": instrument, "temperature_c": 24.5, "log": log}
        record = made.make_record(member, job.sheet, remark="as found", **facts)
        # A ring has to be closed for the way there; `tests/jobs` walks it.
        Job.objects.filter(pk=finished.pk).update(handed_over_at=timezone.now())
        ended = made_finished(member, family)
        outcome = share(ended, member)
        asked, said = _followed(share(made_finished(member, family), member), member)
        picture = pictures.keep(made.make_picture(), by=member.person, caption="as it came in")
        earlier = measuring.earlier_capacity(job, member)
        check = made.make_check(member, instrument, made.make_resistor(member, instrument))
        enquiry.pictures.add(picture)
    limit = FamilyLimit.objects.create(
        family=family, kind="machine_windings", quantity="winding_unbalance", shape="maximum", value=2.0, unit="%",
        source=f"data sheet of {workshop}", authority="maker", entered_by=workshop,
    )  # fmt: skip
    return House(
        member=member, enquiry=enquiry, withdrawn=withdrawn, job=job, finished=finished, record=record,
        instrument=instrument, limit=limit, outcome=outcome, asked=asked, said=said,
        picture=picture, earlier=earlier, log=log, check=check,
        bench=made.make_sheet(member, "Battery on the bench", part_serial="LN 014-77"),
        code=code,
    )  # fmt: skip


def made_finished(member: Membership, family: SystemFamily | None = None) -> Job:
    """A job that was handed over today."""
    job = made.make_job(member, family)
    with acting_for(member.workshop):
        Job.objects.filter(pk=job.pk).update(handed_over_at=timezone.now())
        return Job.objects.get(pk=job.pk)


def _followed(outcome: Outcome, member: Membership) -> tuple[FollowUp, FollowUp]:
    """A date on which the workshop was asked, and what it said without being asked."""
    repair = FollowedRepair.objects.get(outcome=outcome)
    said = following.say(repair=repair, answer="still_runs", by=member)
    said.refresh_from_db()
    FollowUp.objects.filter(repair=repair, month=3).update(asked_at=timezone.now())
    return FollowUp.objects.get(repair=repair, month=3), said


def share(job: Job, member: Membership) -> Outcome:
    return sharing.share(
        job=job, by=member, symptom="Stops uphill", cause="Switch burnt", repair_method="power_stage_replaced"
    )


def _second_looks(cast: Cast, a: House, b: House, third: Membership) -> dict[str, dict[str, Any]]:
    """Asked by A of B and of C, by B of C; and one that has lapsed."""
    asked = {
        "look_of_a_by_b": (a, cast.member_of_b),
        "look_of_a_by_c": (a, third),
        "look_of_b_by_c": (b, third),
        "lapsed_of_a_by_b": (a, cast.member_of_b),
    }
    looks = {}
    for name, (house, colleague) in asked.items():
        facts = {"question": f"What is {name}?", "lapses_on": timezone.localdate(), "by": house.member}
        with acting_for(house.member.workshop):
            looks[name] = second_looks.ask(job=house.job, colleague=colleague, **facts)
    yesterday = timezone.localdate() - datetime.timedelta(days=1)
    SecondLook.objects.filter(pk=looks["lapsed_of_a_by_b"].pk).update(lapses_on=yesterday)
    return {name: {"pk": look.pk} for name, look in looks.items()}


def _objects(cast: Cast, named: Membership, a: House, b: House, family: SystemFamily) -> dict[str, dict[str, Any]]:
    own = Membership.objects.filter(person=cast.technician.person)
    kind = {"kind": "machine_windings"}
    objects: dict[str, dict[str, Any]] = {
        "-": {},
        "missing": {"pk": MISSING},
        "missing_windings": {"pk": MISSING} | kind,
        "missing_dry": {"pk": MISSING, "code": "connectors_dry"},
        "missing_step": {"pk": MISSING, "step": "connectors_dry"},
        "workshop_of_a": {"pk": cast.a.pk},
        "workshop_suspended": {"pk": cast.suspended.workshop_id},
        "workshop_waiting": {"pk": cast.application.workshop_id},
        "application_waiting": {"pk": cast.application.pk},
        "application_decided": {"pk": cast.a.application.pk},
        "paper_claimed": {"pk": made.make_qualification(cast.technician.person, ["charging"], state="claimed").pk},
        "naming_of_technician": {"pk": named.pk},
        "membership_of_technician": {"pk": own.get(workshop=cast.a).pk},
        "key_of_another": {"pk": _passkey(made.make_person("Kim Sleutel")).pk},
        "key_forged": {"key": "nonsense"},
        "reset_forged": {"uidb36": "0", "key": "0-0"},
        "notice_of_technician": {"pk": _notice(cast.technician.person).pk},
        "no_mails_for_technician": resolve(urlsplit(link_for(cast.technician.person_id)).path).kwargs,
        "family": {"pk": family.pk},
        "link_forged": {"token": f"{cast.a.pk}-{a.enquiry.pk}-{a.enquiry.nonce}~forged"},
        "link_crossed": _signed(f"{cast.a.pk}-{b.enquiry.pk}-{b.enquiry.nonce}"),
        "car_crossed": _signed(f"{cast.a.pk}-{b.job.pk}-{b.job.nonce}", owner_link.JOB_SALT),
        "car_by_link_to_enquiry": _signed(f"{cast.a.pk}-{a.job.pk}-{a.job.nonce}"),
        "link_void": _signed(f"{cast.a.pk}-{a.enquiry.pk}-another"),
        "link_of_no_workshop": _signed(f"{MISSING}-{a.enquiry.pk}-{a.enquiry.nonce}"),
    }
    for letter, house in (("a", a), ("b", b)):
        sheet = {"pk": house.job.sheet_id}
        objects |= {
            f"job_of_{letter}": {"pk": house.job.pk},
            f"code_of_{letter}": {"pk": house.code.pk},
            f"finished_of_{letter}": {"pk": house.finished.pk},
            f"enquiry_of_{letter}": {"pk": house.enquiry.pk},
            f"withdrawn_of_{letter}": {"pk": house.withdrawn.pk},
            f"step_of_{letter}": {"pk": house.job.pk, "step": "connectors_dry"},
            f"fitted_of_{letter}": {"pk": house.job.pk, "step": "fitted"},
            f"step_of_finished_{letter}": {"pk": house.finished.pk, "step": "connectors_dry"},
            f"dry_of_{letter}": {"pk": house.job.pk, "code": "connectors_dry"},
            f"identity_of_{letter}": {"pk": house.job.pk, "code": "identity"},
            f"no_code_of_{letter}": {"pk": house.job.pk, "code": "nonsense"},
            f"no_step_of_{letter}": {"pk": house.job.pk, "step": "nonsense"},
            f"sheet_of_{letter}": sheet,
            f"vehicle_of_{letter}": {"pk": house.job.vehicle_id},
            f"log_of_{letter}": {"pk": house.log.pk},
            f"bench_battery_of_{letter}": {"pk": house.bench.pk},
            f"windings_of_{letter}": sheet | kind,
            f"no_kind_of_{letter}": sheet | {"kind": "nonsense"},
            f"record_of_{letter}": {"pk": house.record.pk},
            f"instrument_of_{letter}": {"pk": house.instrument.instrument_id},
            f"limit_of_{letter}": {"pk": house.limit.pk},
            f"resistor_of_{letter}": {"pk": house.check.resistor_id},
            f"outcome_of_{letter}": {"pk": house.outcome.pk},
            f"follow_up_of_{letter}": {"pk": house.asked.pk},
            f"said_of_{letter}": {"pk": house.said.pk},
            f"picture_of_{letter}": {"pk": house.picture.pk},
            f"taken_back_of_{letter}": {"pk": _taken_back(house.member).pk},
            f"link_of_{letter}": resolve(owner_link.path_for(house.enquiry)).kwargs,
            f"car_of_{letter}": resolve(owner_link.path_for_job(house.job)).kwargs,
            f"finished_car_of_{letter}": resolve(owner_link.path_for_job(house.finished)).kwargs,
            f"withdrawn_link_of_{letter}": resolve(owner_link.path_for(house.withdrawn)).kwargs,
        }
    return (
        objects
        | _shared_pictures(a)
        | _shared_sheets(a, b)
        | _shared_figures(a, b, family)
        | beginning.photos(objects, a.picture, b.picture)
        | beginning.photos_of_jobs(a.job, b.job)
        | beginning.bays_of(a.job, b.job)
        | measuring.expected_readings(family, a.member, b.member)
        | measuring.display_photos(a.job.sheet, b.job.sheet, a.member, b.member)
        | _numbers(a.member, b.member)
        | estimates.objects(cast.a, cast.b)
        | finishing.objects(a.job, b.job, MISSING)
    ) | _tokens(a, b)


def _shared_sheets(a: House, b: House) -> dict[str, dict[str, Any]]:
    copies = {"copy_of_a": made.make_shared_sheet(a.member, a.job.sheet)}
    copies |= {"copy_of_b": made.make_shared_sheet(b.member, b.job.sheet)}
    copies |= {"copy_taken_back": made.make_shared_sheet(a.member, a.job.sheet)}
    sharing_sheets.take_back(copies["copy_taken_back"], by=a.member)
    return {name: {"pk": copy.pk} for name, copy in copies.items()}


def _tokens(a: House, b: House) -> dict[str, dict[str, Any]]:
    """A token of each, and an answer that was kept for one of its writes."""
    tokens = {}
    for letter, house in (("a", a), ("b", b)):
        with acting_for(house.member.workshop):
            KeptAnswer(key="first", fingerprint="0" * 64, status=201, body="{}").save()
        tokens[f"token_of_{letter}"] = {"pk": made.make_token(house.member)[0].pk}
    return tokens


def _shared_figures(a: House, b: House, family: SystemFamily) -> dict[str, dict[str, Any]]:
    """Reference readings that A and B share, and some that A took back; of sheets of their own."""
    found = {}
    for name, house in {"figures_of_a": a, "figures_of_b": b, "figures_taken_back": a}.items():
        sheet = made.make_sheet(house.member, "Machine on the bench", family=family)
        record = made.make_record(house.member, sheet, instrument_range=house.instrument, temperature_c=24.5)
        found[name] = made.make_shared_figures(house.member, record)
    reference_readings.take_back(found["figures_taken_back"], by=a.member)
    return {name: {"pk": figures.pk} for name, figures in found.items()}


def _seen_figures(house: House) -> str:
    """The digest that the preview's form of this house's record carries."""
    with acting_for(house.member.workshop):
        record = Record.objects.select_related("sheet__family").get(pk=house.record.pk)
        return hash_of_body(reference_readings.draft(record, turned="sound", mileage="150"))


def _seen(house: House, title: str) -> str:
    """The digest that the preview's form of this house's sheet carries."""
    with acting_for(house.member.workshop):
        sheet = Sheet.objects.get(pk=house.job.sheet_id)
        return hash_of_body(sharing_sheets.draft(sheet, title=title, serial="shortened"))


def _numbers(a: Membership, b: Membership) -> dict[str, dict[str, Any]]:
    """Part numbers are shared by all: two of A's, and statements of A and of B, one of B's disputed by A."""
    old, new = (made.make_number(a, f"LN 27 50{place}-0") for place in range(2))
    far = made.make_number(b, "LN 27 509-0")
    of_a, of_b = made.make_statement(a, old, new), made.make_statement(b, new, far)
    disputed = made.make_statement(b, old, far)
    superseding.dispute(statement=disputed, by=a, reason="The plug has six pins.")
    made_of = PartRevision(part_number=old, name="One dot", dots=1)
    of_ours = entering.enter_revision(revision=made_of, photos=[], by=a)
    rows = {
        "number": old,
        "revision_of_a": of_ours,
        "statement_of_a": of_a,
        "statement_of_b": of_b,
        "disputed_of_b": disputed,
    }
    return {name: {"pk": row.pk} for name, row in rows.items()}


def _shared_pictures(house: House) -> dict[str, dict[str, Any]]:
    by = {"by": house.member.person, "workshop": house.member.workshop}
    with acting_for(house.member.workshop):
        shown, taken_back = (pictures.share(house.picture, **by) for _copy in range(2))
    SharedPicture.objects.filter(pk=taken_back.pk).update(taken_back_at=timezone.now())
    return {"shared_picture_of_a": {"pk": shown.pk}, "picture_taken_back": {"pk": taken_back.pk}}


def _signed(text: str, salt: str = owner_link.SALT) -> dict[str, str]:
    """A link that the portal itself would have signed: what it says is still checked against the row."""
    return {"token": signing.Signer(salt=salt, sep="~").sign(text)}


def _taken_back(member: Membership) -> Outcome:
    job = made_finished(member)
    with acting_for(member.workshop):
        outcome = share(job, member)
    sharing.take_back(outcome=outcome, by=member, at=timezone.now())
    return outcome


def _passkey(person: User) -> Authenticator:
    """A passkey, as far as it is listed. (Pages of one's own keys are the library's, and tried there.)"""
    return Authenticator.objects.create(
        user=person, type=Authenticator.Type.WEBAUTHN, data={"name": "key ring", "passwordless": True, "credential": {}}
    )


def _notice(person: User) -> Notice:
    """A notice of theirs that could not be sent."""
    event = Event.record("enquiry_sent", person)
    return Notice.objects.create(
        event=event, person=person, email=person.email, subject="Waits", body="Waits.\n", path="/jobs/",
        message_id=f"<{event.pk}@bench.example>", state=Notice.State.STUCK,
    )  # fmt: skip


def _payloads(cast: Cast, named: Membership, a: House, b: House, family: SystemFamily) -> dict[str, dict[str, Any]]:
    regions = list(Region.objects.values_list("pk", flat=True))
    stuck = Notice.objects.get(person=cast.technician.person, state=Notice.State.STUCK)
    booking = {"customer_name": "Piet Oosterling", "description": "Vireo 2016", "complaint": "It stops."}
    outcome = {"symptom": "Stops uphill", "cause": "Switch burnt", "repair_method": "power_stage_replaced"}
    ask_b = {
        "colleague": cast.member_of_b.pk, "question": "Machine or inverter?", "lapses_on": timezone.localdate(),
    }  # fmt: skip
    earlier = outcome | {"part_kind": "inverter", "repaired_on": "2024-03-05", "known_as": "book 118"}
    address = {
        "name": "Nieuw Werk", "street": "Dok 1", "country": "BE", "postcode": "4020", "town": "Liège",
        "region": regions[0], "email": "nieuw@bench.example", "phone": "+49 30 23125 002",
        "business_number": "0999000129",
    }  # fmt: skip
    password = made.PASSWORD
    return ON_THE_BOARD | finishing.PAYLOADS | estimates.payloads(cast.a) | measuring.payloads(a.log, b.log, a.earlier, b.earlier) | {
        "-": {},
        "right_password": {"login": cast.technician.person.email, "password": password},
        "wrong_password": {"login": cast.technician.person.email, "password": "not this one at all"},
        "unknown_person": {"login": "nobody@bench.example", "password": password},
        "inactive_person": {"login": cast.inactive.email, "password": password},
        "new_person": {"name": "Lot Nieuw", "email": "new@bench.example", "password1": password},
        "known_person": {"name": "Lot Nieuw", "email": cast.technician.person.email, "password1": password},
        "short_password": {"name": "Lot Nieuw", "email": "new@bench.example", "password1": "fourteen sign."},
        "known_address": {"email": cast.technician.person.email},
        "unknown_address": {"email": "nobody@bench.example"},
        "page_of_nonsense": {"page": "-1", "q": "zz", "show": "zz"},
        "known_place": {"country": "BE", "place": "4040", "radius_km": "25", "work": "inverter"},
        "unknown_place": {"country": "BE", "place": "0000", "radius_km": "25"},
        "bad_radius": {"country": "BE", "place": "4040", "radius_km": "7"},
        "known_postcode": {"country": "BE", "postcode": "4040"},
        "unknown_postcode": {"country": "BE", "postcode": "0000"},
        "bad_work": {"country": "BE", "postcode": "4040", "work": "nonsense"},
        "workshop": address | PERSON,
        "one_more_person": address | PERSON | {"act": "more"},
        "decline": {"decision": "decline", "reason": "Papers missing."},
        "approve_unseen": {"decision": "approve", "reason": "Welcome."},
        "stuck_notice": {"notice": stuck.pk},
        "missing_notice": {"notice": MISSING},
        "told_daily": {"told": "daily"},
        "own_details": {"phone": "+49 30 23125 003", "email": "a@bench.example"},
        "seat_of_technician": {"membership": cast.technician.pk},
        "seat_of_b": {"membership": cast.member_of_b.pk},
        "seat_not_agreed": {"membership": named.pk},
        "seat_suspended": {"membership": cast.suspended.pk},
        "new_token": {"name": "Logger of bench 2"},
        "family": FAMILY,
        "number": {"number": "LN 27 777-0", "maker": "Lanner", "kind": "inverter", "description": "Inverter"},
        "correction": {"kind": "charger", "description": "Charger", "seen": "0", "reason": "read wrongly"},
        "revision_right": REVISION | {"seen": "0", "reason": "read wrongly"},
        "fits": {"families": [family.pk]},
        "revision": REVISION,
        "supply": {
            "region": regions[0], "standing": "withdrawn", "seen_on": "2026-01-05", "source": "the maker’s counter",
        },
        "supersession": {
            "relation": "replaced_by", "other": "LN 27 599-0", "backwards": "unknown", "evidence": "bulletin 14-77",
        },
        "dispute": {"reason": "The plug has six pins."},
        "expected": measuring.EXPECTED,
        "limit": {"what": "machine_windings:winding_unbalance", "value": "2", "authority": "maker", "source": "14-208"},
        "meter": {
            "name": "Ohmvalk", "serial": "OV-1", "calibration_due": "2099-01-01", "unit": "megohm", "highest": "550",
            "percent_of_reading": "3", "counts": "3", "resolution": "0.1",
        },
        "range": {
            "what": "range", "unit": "milliohm", "highest": "2000", "percent_of_reading": "1", "counts": "3",
            "resolution": "1",
        },
        "bay_named": {"name": "Bay 9"},
        "stands_job_of_a": {"job": a.job.pk},
        "stands_job_of_b": {"job": b.job.pk},
        "labels_of_a": {"instruments": a.instrument.instrument_id, "paper": "a4", "serial": "LN 014-77"},
        "labels_of_b": {"instruments": b.instrument.instrument_id, "paper": "a4"},
        "measures_on_a": {"sheet": a.job.sheet_id, "kind": "machine_windings"},
        "resistor": measuring.RESISTOR,
        "reads_resistor_of_a": measuring.reads(a.check),
        "reads_resistor_of_b": measuring.reads(b.check),
        "windings_of_photo_of_b": measuring.typed_from_photo(b.member),
        "sheet": {"title": "Inverter on the bench", "part_serial": "77"},
        "plate": {"number": "LN 27 410-0", "serial": "LN 014-77"},
        "plate_of_nonsense": {"number": "9" * 41},
        "figures_turned": {"turned": "sound", "mileage": "150"},
        "figures_shared": {"turned": "sound", "mileage": "150", "act": "share", "seen": _seen_figures(a)},
        "figures_unseen": {"turned": "sound", "mileage": "150", "act": "share", "seen": "another"},
        "copy_called": {"title": "Vireo, windings"},
        "copy_shared": {"title": "Vireo, windings", "act": "share", "seen": _seen(a, "Vireo, windings")},
        "copy_unseen": {"title": "Vireo, windings", "act": "share", "seen": "another"},
        "windings": WINDINGS,
        "windings_with_meter_of_a": WINDINGS | {"instrument_range": a.instrument.pk},
        "windings_with_meter_of_b": WINDINGS | {"instrument_range": b.instrument.pk},
        "windings_beside_b": WINDINGS | {"stood_by": cast.member_of_b.person_id},
        "corrects_record_of_a": {"corrects": a.record.pk},
        "corrects_record_of_b": {"corrects": b.record.pk},
        "corrects_missing": {"corrects": MISSING},
        "open_windings": {"open": "machine_windings"},
        "hash_of_a": {"hash": a.record.hash},
        "hash_of_b": {"hash": b.record.hash},
        "hash_of_nobody": {"hash": "ab" * 32},
        "bad_hash": {"hash": "zz"},
        "part": {"number": "LN 1", "description": "Inverter", "quantity": "1", "regions": regions},
        "offer": {
            "offer": "have_one", "condition": "used", "price": "10", "freight": "1", "currency": "EUR",
            "days_to_arrive": "3",
        },
        "receipt": {"number_as_ordered": "yes", "marks_as_ordered": "yes", "as_described": "yes"},
        "enquiry": ENQUIRY,
        "reply": {"answer": "Bring it on Tuesday."},
        "to_b": {"to": cast.b.pk},
        "withdraw": {"act": "withdraw"},
        "agree": {"act": "agree", "to": cast.b.pk},
        "choose": {"act": "choose", "moment": "nonsense"},
        "booking": booking,
        **beginning.payloads(cast, booking),
        "reason": {"reason": "Seen on the day before."},
        "opened": {"what": "wiring_touched"},
        "machine": {"part": "machine"},
        "words": {"words": "Switch of phase V burnt", "good": "yes"},
        "family_key": {"family": family.pk},
        "no_family": {"family": "zz"},
        "stands": {"answer": "still_runs", "seen_on": timezone.localdate()},
        "stands_tomorrow": {"answer": "still_runs", "seen_on": timezone.localdate() + datetime.timedelta(days=1)},
        "earlier": earlier,
        "earlier_shared": earlier | {"act": "share"},
        "ways": {"cost_per_day": "45", "used_near_landed": "412.50", "used_near_days": "3"},
        "ways_of_nonsense": {"cost_per_day": "9e99"},
        "ask_b": ask_b,
        "ask_b_now": ask_b | {"act": "ask"},
        "opinion": {"confirms": "yes", "words": "Three of ours had the same duct blocked."},
        "take_down": {"reason": "It names the customer."},
        "outcome": outcome,
        "outcome_shared": outcome | {"act": "share"},
    }  # fmt: skip


def private_models() -> list[type[PrivateModel]]:
    """Every model whose rows belong to one workshop, however deep it is derived."""
    found, waiting = [], [PrivateModel]
    while waiting:
        for model in waiting.pop().__subclasses__():
            waiting.append(model)
            if not model._meta.abstract:
                found.append(model)
    return sorted(found, key=lambda model: model._meta.label)


def foreign_rows_seen(model: type[PrivateModel], scene: Scene) -> int:
    """How many rows of B the plain and the base manager show while A acts; the guard has it that there are none."""
    with acting_for(scene.cast.b):
        theirs = list(model._default_manager.values_list("pk", flat=True))
    with acting_for(scene.cast.a):
        return sum(rows.filter(pk__in=theirs).count() for rows in (model._default_manager, model._base_manager))
