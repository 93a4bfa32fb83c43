"""What `tests/access_scene.py` has of the beginning of a job: codes, a watched temperature, making safe, and forms."""

from __future__ import annotations

from typing import Any

from django.http import QueryDict

from jobs import booking, causes, codes, drafts, making_safe
from jobs.models import Bay, Job, JobCode
from network.access import acting_for
from network.models import Membership, Picture
from network.pictures import keep
from network.signing import set_code
from tests import cast as made
from tests.cast import Cast

SIGNING_CODE = "604819"
CAUSE = {"failed_part": "switch of phase V", "made_it_fail": "its duct was blocked"}


def beginning_of(job: Job, member: Membership) -> JobCode:
    """One row at least of each model: a code as it was read, a temperature, a step of making safe and what ended it."""
    read = codes.ReadCode(code="P0A78")
    code = codes.add(job=job, codes=(read,), by=member, text="as pasted", unit="inverter").codes.get()
    codes.note(code=code, detail="1C", freeze_frame="402 V", words="Low at the precharge", by=member)
    beside = made.make_member(member.workshop, name=f"Second of {member.workshop}")
    step: dict[str, Any] = {"job": job, "by": member, "beside": beside.person}
    making_safe.do(step="charge_lead", facts={"done": True}, **step)
    making_safe.change_state(what="connector", words="looked into it", **step)
    set_code(person=member.person, code=SIGNING_CODE)
    booking.watch(job=job, celsius=18.5, place="floor", by=member)
    picture = keep(made.make_picture(), by=member.person)
    job.pictures.add(picture)
    causes.mark(picture=picture, x=50, y=40, words="burnt here", by=member)
    causes.name(job=job, failed_part="switch", made_it_fail="duct blocked", seen=0, by=member)
    drafts.keep(job=job, step="cooling", by=member, typed=QueryDict("words=so far"))
    return code


def bays_of(a: Job, b: Job) -> dict[str, dict[str, Any]]:
    """An empty bay of each, and one in which the job stands."""
    objects = {}
    for letter, job in (("a", a), ("b", b)):
        with acting_for(job.workshop):
            empty, taken = (Bay(name=f"Bay {name} of {letter}") for name in ("one", "two"))
            empty.save()
            taken.job = job
            taken.save()
        objects |= {f"empty_bay_of_{letter}": {"pk": empty.pk}, f"taken_bay_of_{letter}": {"pk": taken.pk}}
    return objects


def photos_of_jobs(a: Job, b: Job) -> dict[str, dict[str, Any]]:
    """A photo of each job, one of another workshop's beside the own job, and none."""
    photo = {}
    for job in (a, b):
        with acting_for(job.workshop):
            photo[job.pk] = job.pictures.get().pk
    return {
        "photo_of_job_a": {"pk": a.pk, "photo": photo[a.pk]},
        "photo_of_job_b": {"pk": b.pk, "photo": photo[b.pk]},
        "foreign_photo": {"pk": a.pk, "photo": photo[b.pk]},
        "missing_photo": {"pk": 987_654_321, "photo": 987_654_321},
    }


def photos(objects: dict[str, dict[str, Any]], of_a: Picture, of_b: Picture) -> dict[str, dict[str, Any]]:
    """Photos by an owner's link: its own, and one of another workshop."""
    return {
        "photo_of_link_a": objects["link_of_a"] | {"pk": of_a.pk},
        "photo_of_b_by_a": objects["link_of_a"] | {"pk": of_b.pk},
        "link_forged_photo": objects["link_forged"] | {"pk": of_b.pk},
    }


def payloads(cast: Cast, booked: dict[str, Any]) -> dict[str, dict[str, Any]]:
    """What is typed into the forms of the beginning."""
    signed = {"signer": cast.technician.person_id, "code": SIGNING_CODE}
    return {
        "paper": {
            "name": "Nele Feld",
            "email": "nele@bench.example",
            "role": "technician",
            "title": "Level 3",
            "issuer": "Kring Institute",
            "certificate": "KI-1",
            "covers": ["charging"],
            "expires_on": "2099-01-01",
        },
        "paper_seen": {"decision": "paper_seen"},
        "cause": CAUSE | {"seen": "1"},
        "cause_first": CAUSE | {"seen": "0"},
        "cause_unseen": CAUSE | {"seen": "0"},
        "cause_draft": {"failed_part": "switch", "act": "draft"},
        "cause_by_b": CAUSE | {"seen": "1", "evidence": "987654321"},
        "mark": {"x": "12.5", "y": "30", "words": "burnt"},
        "step_unsigned": {"step": "charge_lead"},
        "step_of_a": signed | {"step": "charge_lead", "done": "on"},
        "step_by_b": signed | {"step": "charge_lead", "done": "on", "signer": cast.member_of_b.person_id},
        "state_of_a": signed | {"what": "connector", "words": "to look at the seal"},
        "easy_code": {"code": "123456", "again": "123456"},
        "new_code": {"code": "408152", "again": "408152"},
        "codes": {"stage": "found", "form": "text", "text": "P0A78"},
        "code_words": {"detail": "1C", "words": "Low at the precharge", "freeze_frame": "402 V"},
        "change": booked | {"seen": "1"},
        "change_unseen": booked | {"seen": "7"},
        "temperature": {"act": "watch", "celsius": "18.5", "place": "floor"},
        "end_quarantine": {"act": "end", "words": "Looked at."},
    }
