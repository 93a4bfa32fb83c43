"""Making safe: the steps before the proof of absence of voltage, who may sign them, and what ends them.

The steps are done in their order, each by a person whose qualification is valid today, with a second one present. The
portal states no waiting time: it asks for the maker's and where it is written, and holds where that isn't known. What
the meter then reads is a record of the sheet; whether the proof stands is decided in one place,
`diagnostics.recording.proof_among`, which asks for these steps. Any change of state begins a new turn, in which
nothing done before counts.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import F
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from diagnostics.models import Record, Sheet
from diagnostics.recording import PROOF_OF_ABSENCE, end_proof, is_qualified, may_work_live, proof_among, records_of_turn
from jobs.models import Job, SafeStep, StateChange
from jobs.working import CannotBeSigned
from network.models import Event, Membership, User

Code = SafeStep.Code
ORDER: tuple[SafeStep.Code, ...] = tuple(Code)
# Highest voltage of each class of gloves, V AC: ASTM D120 and IEC 60903, as quoted at adanacelectric.com. Their limit
# for direct voltage is higher; the lower one is taken.
GLOVE_VOLTS = {"00": 500, "0": 1000, "1": 7500, "2": 17_000, "3": 26_500, "4": 36_000}


@dataclass(frozen=True, kw_only=True)
class Standing:
    """How making safe stands: the steps done in this turn, the next one, and the proof."""

    steps: dict[str, SafeStep]
    next: SafeStep.Code | None  # None when every step is done
    last_proof: Record | None  # of this turn, whatever it says
    proof: Record | None  # that stands
    quarantined: bool

    @property
    def alarm(self) -> str:
        """Stop or hold, by the last voltages that were measured in this turn."""
        steps = self.last_proof.body["next_steps"] if self.last_proof and self.last_proof is not self.proof else []
        if "stop_above_60_v" in steps:
            return _("Stop: above 60 V at a measuring point. Step back, gloves on, find out why before anything else.")
        if "hold_and_explain" in steps:
            return _("Hold: above 5 V at a measuring point, unexplained. Wait as the maker says, and measure again.")
        return ""

    @property
    def sentence(self) -> str:
        if self.quarantined:
            return _("Stop: the car stands in quarantine; nothing on it is touched.")
        if self.proof:
            return _("Absence of voltage is proved at the named points. The battery pack itself stays live.")
        if self.alarm:
            return self.alarm
        if self.next is not None:
            return _("Hold: %(step)s, not yet done.") % {"step": _in_a_sentence(str(self.next.label))}
        return _("Hold: the three voltages, not yet measured.")


def _in_a_sentence(words: str) -> str:
    return words if words[:2].isupper() or words[:1].isdigit() else words[:1].lower() + words[1:]


def standing(job: Job, records: Sequence[Record] | None = None) -> Standing:
    """How making safe stands now; `records`, where they were read already, are those that stand of this turn."""
    of_turn = SafeStep.objects.filter(job=job, turn=F("job__sheet__turn"))
    steps = {step.code: step for step in of_turn.select_related(*PEOPLE)}
    waits = next((code for code in ORDER if code not in steps), None)
    if records is None:
        records = list(records_of_turn(job.sheet_id))
    return Standing(
        steps=steps,
        next=waits,
        last_proof=next((one for one in reversed(records) if one.kind == PROOF_OF_ABSENCE), None),
        proof=None if waits else proof_among(records),
        quarantined=job.in_quarantine,
    )


PEOPLE = ("done_by", "stood_by")


@transaction.atomic
def do(
    *,
    job: Job,
    step: str,
    facts: Mapping[str, Any],
    by: Membership,
    beside: User | None,
    at: datetime.datetime | None = None,
) -> SafeStep:
    """Sign one step as done; raises CannotBeSigned with the sentence that says what is missing.

    `facts` are the fields of the step (`jobs/safety_forms.py`), as texts, figures and dates in ISO 8601.
    """
    at = at or timezone.now()
    sheet = Sheet.objects.select_for_update().get(pk=job.sheet_id)
    job = Job.objects.select_related("vehicle__family").get(pk=job.pk)
    _refuse_unfit(job, by, beside)
    done = {one.code: one for one in SafeStep.objects.filter(job=job, turn=sheet.turn)}
    if step in done:
        raise CannotBeSigned(_("This step was signed already: %(step)s.") % {"step": done[step]})
    waits = next(code for code in ORDER if code not in done)
    if step != waits:
        raise CannotBeSigned(_("First: %(step)s.") % {"step": _in_a_sentence(str(waits.label))})
    _refuse_on_hold(job, step, facts, done, at)
    kept = SafeStep(
        job=job, turn=sheet.turn, code=step, facts=dict(facts), done_by=by.person, stood_by=beside, done_at=at
    )
    kept.save()
    if step == ORDER[-1]:
        Sheet.objects.filter(pk=sheet.pk).update(steps_done_in=sheet.turn)
    Event.record(f"made_safe_{step}", job, by=by.person, workshop=by.workshop, turn=sheet.turn)
    return kept


def _refuse_unfit(job: Job, by: Membership, beside: User | None) -> None:
    """Who may sign at all: a qualified person, never alone, on a car that is neither in quarantine nor gone."""
    if job.handed_over_at:
        raise CannotBeSigned(_("This job was handed over; nothing more is signed on it."))
    if job.in_quarantine:
        raise CannotBeSigned(_("Stop: the car stands in quarantine. Nothing is signed before that has ended."))
    if not is_qualified(by):
        raise CannotBeSigned(
            _("%(who)s holds no qualification that is valid today and can’t sign this.") % {"who": by.person}
        )
    if beside is None or not _is_colleague(beside, by):
        raise CannotBeSigned(_("Never alone: name the second person present, somebody else of this workshop."))


def _is_colleague(person: User, by: Membership) -> bool:
    others = Membership.objects.able_to_act().filter(workshop=by.workshop_id, person=person)
    return person.pk != by.person_id and others.exists()


def _refuse_on_hold(
    job: Job, step: str, facts: Mapping[str, Any], done: Mapping[str, SafeStep], at: datetime.datetime
) -> None:
    """What holds one step: gloves out of date or of a class too low, a wait that is unknown or not over."""
    if step == Code.GLOVES and (wrong := _wrong_with_gloves(job, facts, at)):
        raise CannotBeSigned(" ".join(wrong))
    if step == Code.WAIT:
        if facts.get("minutes") is None or not str(facts.get("source", "")).strip():
            raise CannotBeSigned(_("Hold: the maker’s waiting time and where it is written must be known. Look it up."))
        over = done[Code.DISCONNECT].done_at + datetime.timedelta(minutes=float(facts["minutes"]))
        if at < over:
            until = date_format(timezone.localtime(over), "H:i:s")
            raise CannotBeSigned(_("Hold: the maker’s wait is over at %(until)s.") % {"until": until})


def _wrong_with_gloves(job: Job, facts: Mapping[str, Any], at: datetime.datetime) -> list[str]:
    """Everything at once: whoever fetches other gloves walks once."""
    wrong = []
    if datetime.date.fromisoformat(facts["in_date_until"]) < timezone.localdate(at):
        wrong.append(_("Hold: these gloves are out of date. Take others, or have them tested."))
    family, volts = job.vehicle.family, GLOVE_VOLTS[facts["glove_class"]]
    if family and volts < family.highest_working_v:
        wrong.append(
            _("Hold: class %(one)s is made for at most %(volts)d V, and this system works at up to %(most)g V.")
            % {"one": facts["glove_class"], "volts": volts, "most": family.highest_working_v}
        )
    return wrong


@transaction.atomic
def change_state(*, job: Job, what: str, words: str, by: Membership, beside: User | None) -> StateChange:
    """The car is no longer dead as it was proved: note it, and let steps and proof end with it.

    Whoever opens a connector or switches something on notes it; going live for diagnosis has its own authorisation
    and its own second person. Raises CannotBeSigned.
    """
    Sheet.objects.select_for_update().get(pk=job.sheet_id)
    if job.handed_over_at:
        raise CannotBeSigned(_("This job was handed over; nothing more is signed on it."))
    if what == StateChange.What.LIVE:
        if job.in_quarantine:
            raise CannotBeSigned(_("Stop: the car stands in quarantine; it does not go live."))
        if not may_work_live(by):
            raise CannotBeSigned(
                _("%(who)s holds no valid authorisation for work on live systems.") % {"who": by.person}
            )
        if beside is None or not _is_colleague(beside, by):
            raise CannotBeSigned(_("Never alone: name the second person present, somebody else of this workshop."))
    change = StateChange(job=job, what=what, words=words, signed_by=by.person, stood_by=beside)
    change.save()
    end_proof(job.sheet)
    Event.record(f"state_changed_{what}", job, by=by.person, workshop=by.workshop)
    return change


def first_values_of_proof(standing: Standing) -> dict[str, Any]:
    """What the record of the voltages repeats of the steps: the maker's wait with its source, the points."""
    wait, points = standing.steps.get(Code.WAIT), standing.steps.get(Code.POINTS)
    first: dict[str, Any] = {}
    if wait:
        first["makers_wait"] = _("%(minutes)g minutes: %(source)s") % wait.facts
        first["stood_by"] = wait.stood_by_id
    if points:
        first["points"] = points.facts["points"]
    return first
