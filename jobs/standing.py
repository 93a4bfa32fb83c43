"""How requirements stand on a job: each met by what was recorded, signed or received, waived, or open, and why.

Clearance to fit, fitting and proving are lists of requirements that are looked up here. Evidence counts no more once it
is older than the last disturbance its requirement names, or than `since`.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Literal

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from diagnostics.calculations.verdicts import Verdict
from diagnostics.models import Record, SystemFamily
from diagnostics.recording import proof_among
from jobs.lists import stages_of
from jobs.models import CodeReading, Disturbance, Job, SignedEntry, StateChange, Waiver
from jobs.outlook import outlook_of
from jobs.requirements.kinds import ByCodes, ByEntry, ByOutlook, ByProof, ByReceipt, ByRecord, Requirement


@dataclass(frozen=True, kw_only=True)
class Standing:
    """How one requirement stands: met, waived or open, with the few words that say why.

    `requirement` is None where the standing was kept from an earlier day.
    """

    number: int
    code: str
    title: str
    state: Literal["met", "waived", "open"]
    why: str
    requirement: Requirement | None = None

    @property
    def met(self) -> bool:
        return self.state != "open"

    @property
    def may_be_waived(self) -> bool:
        return not self.met and self.requirement is not None and self.requirement.waivable


@dataclass(frozen=True, kw_only=True)
class Stands:
    """How a whole list stands."""

    standings: tuple[Standing, ...]

    @property
    def clear(self) -> bool:
        return all(standing.met for standing in self.standings)

    @property
    def next(self) -> Standing | None:
        """The first requirement that is not met."""
        return next((standing for standing in self.standings if not standing.met), None)

    @property
    def met_count(self) -> int:
        return sum(standing.met for standing in self.standings)

    @property
    def closed(self) -> str:
        """What a closed ring is told with: a waived requirement isn't called met."""
        waived = sum(standing.state == "waived" for standing in self.standings)
        if not waived:
            return _("every requirement is met")
        return ngettext(
            "every requirement is met, but for one that is waived",
            "every requirement is met, but for %(n)d that are waived",
            waived,
        ) % {"n": waived}

    @property
    def sentence(self) -> str:
        """What the page opens with, after "Hold:" or "Clear:"."""
        if self.next is None:
            return f"{self.closed}."
        return f"{self.next.title[:1].lower()}{self.next.title[1:]}: {self.next.why}."

    @property
    def remaining(self) -> str:
        more = len(self.standings) - self.met_count - 1
        if more <= 0:
            return ""
        return ngettext(
            "One more requirement stands open after this one.",
            "%(n)d more requirements stand open after this one.",
            more,
        ) % {"n": more}


def stands(found: Found, requirements: Sequence[Requirement], *, since: datetime.datetime | None = None) -> Stands:
    """How each of the requirements stands now; with `since`, by what was found or signed from then on."""
    evidence = _Evidence(found=found, since=since)
    return Stands(standings=tuple(_standing(evidence, number, one) for number, one in enumerate(requirements, start=1)))


def _standing(evidence: _Evidence, number: int, requirement: Requirement) -> Standing:
    met, why = _LOOKED_UP[type(requirement)](evidence, requirement)
    state: Literal["met", "waived", "open"] = "met" if met else "open"
    waiver = evidence.waivers.get(requirement.code) if not met and requirement.waivable else None
    if waiver:
        state = "waived"
        why = _("waived by %(who)s: %(reason)s") % {"who": waiver.waived_by, "reason": waiver.reason}
    return Standing(
        number=number, code=requirement.code, title=str(requirement.title), state=state, why=why,
        requirement=requirement,
    )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Disturbed:
    """When something was last done to the car that may end evidence, in words."""

    at: datetime.datetime
    words: str


@dataclass(kw_only=True)
class Found:
    """All that one job holds, as it was read; of several rows of one kind the last counts."""

    job: Job
    taken: list[Record] = field(default_factory=list)  # every record, corrected ones too
    entries: list[SignedEntry] = field(default_factory=list)
    waivers: dict[str, Waiver] = field(default_factory=dict)
    disturbed: list[tuple[str, Disturbed]] = field(default_factory=list)

    @cached_property
    def records(self) -> list[Record]:
        """Those that no later one corrects."""
        corrected = {record.replaces_id for record in self.taken}
        return [record for record in self.taken if record.pk not in corrected]

    @cached_property
    def newest(self) -> dict[str, SignedEntry]:
        """By step, the entry that counts."""
        return {entry.step: entry for entry in self.entries}

    @cached_property
    def of_turn(self) -> list[Record]:
        """Those taken since the car's state was last changed."""
        return [record for record in self.records if record.sequence > record.sheet.turn_began_at]

    @cached_property
    def proof(self) -> Record | None:
        """Of absence of voltage, where it stands."""
        return proof_among(self.of_turn)

    @cached_property
    def steps(self) -> dict[str, tuple[Requirement, ...]]:
        """By stage, the list that fitting and proving go by."""
        return stages_of(self.job.part)


def held_by(job: Job) -> Found:
    """What one job holds: a page or a verb reads it once, and passes it to whatever asks."""
    return found_on([job])[job.pk]


_DISTURBED = dict([*Disturbance.What.choices, *StateChange.What.choices])


def found_on(jobs: Sequence[Job]) -> dict[int, Found]:
    """What each of the jobs holds, by their keys; the number of queries doesn't grow with the jobs."""
    of_job = {job.pk: Found(job=job) for job in jobs}
    of_sheet = {job.sheet_id: of_job[job.pk] for job in jobs}
    read = Record.objects.filter(sheet__in=of_sheet).select_related("sheet", "taken_by", "stood_by")
    records = {record.pk: record for record in read.order_by("sequence")}
    for record in records.values():
        record.replaces = records.get(record.replaces_id)
        of_sheet[record.sheet_id].taken.append(record)
    for entry in SignedEntry.objects.filter(job__in=of_job).select_related("signed_by"):
        of_job[entry.job_id].entries.append(entry)
    for waiver in Waiver.objects.filter(job__in=of_job).select_related("waived_by"):
        of_job[waiver.job_id].waivers[waiver.requirement] = waiver
    noted = Disturbance.objects.filter(job__in=of_job).order_by().values_list("job", "what", "at")
    changed = StateChange.objects.filter(job__in=of_job).order_by().values_list("job", "what", "changed_at")
    for job, what, at in noted.union(changed, all=True).order_by("at"):
        of_job[job].disturbed.append((what, Disturbed(at=at, words=str(_DISTURBED[what]))))
    return of_job


class _Evidence:
    """What of all that counts: with `since` what is as young, else, once fitting has begun, what stood then.

    A correction counts whenever it is made: who finds that a reading was wrong opens its requirement again.
    """

    def __init__(self, *, found: Found, since: datetime.datetime | None) -> None:
        self.job, self.since, self.found, self.waivers = found.job, since, found, found.waivers
        self.until = None if since else found.job.cleared_at
        self.records = {(one.kind, _subject_of(one)): one for one in found.records if self._counts(one)}
        self.entries = {one.step: one for one in found.entries if since is None or one.signed_at >= since}
        # Fitting disturbs the car itself; what it ends is proved again after it.
        self.disturbed = {what: one for what, one in found.disturbed if self.until is None or one.at <= self.until}

    def _counts(self, record: Record) -> bool:
        """Whether it is young enough; or was there when fitting began, or corrects one that was."""
        if self.since:
            return bool(record.taken_at >= self.since)
        first = record.replaces.taken_at if record.replaces else record.taken_at
        return self.until is None or first <= self.until

    @property
    def family(self) -> SystemFamily | None:
        return self.job.sheet.family

    def codes_read_again(self) -> CodeReading | None:
        """The newest reading of codes after the repair."""
        after = CodeReading.objects.filter(job=self.job, stage=CodeReading.Stage.AFTER)
        if self.since:
            after = after.filter(read_at__gte=self.since)
        return after.order_by("read_at", "pk").last()

    def subjects(self, each: str) -> list[str]:
        """The machines of the car, or the stages of its inverter: one a machine, and the boost converter's."""
        machines = [str(n + 1) for n in range(self.family.machines if self.family else 1)]
        if each == "machine":
            return machines
        if each == "stage":
            return [*(f"machine_{n}" for n in machines), *(["boost"] if _has_boost(self.family) else [])]
        return [""]

    def disturbance_since(self, at: datetime.datetime, requirement: Requirement) -> Disturbed | None:
        """The last of the disturbances that the requirement names, if it came after `at`."""
        named = [d for what, d in self.disturbed.items() if what in requirement.ended_by and d.at > at]
        return max(named, key=lambda d: d.at, default=None)


def _subject_of(record: Record) -> str:
    """The machine, or the stage of a power-stage record, which names it among its values."""
    return record.subject or str(record.body["values"].get("stage") or "")


def _has_boost(family: SystemFamily | None) -> bool:
    """A full battery reaches some 1.25 times its nominal voltage; a link beyond 1.4 times has a boost converter."""
    return family is not None and family.highest_working_v > 1.4 * family.nominal_v


def _since(disturbance: Disturbed) -> str:
    when = date_format(timezone.localtime(disturbance.at), "DATETIME_FORMAT")
    return _("to be proved again: %(what)s on %(when)s") % {"what": disturbance.words, "when": when}


def _by_record(evidence: _Evidence, requirement: ByRecord) -> tuple[bool, str]:
    subjects = evidence.subjects(requirement.each)
    for subject in subjects:
        name = _subject_words(requirement.each, subject) if len(subjects) > 1 else ""
        open_words = [_one_record(evidence, requirement, kind, subject) for kind in requirement.kinds]
        outside = next((w for w in open_words if w == WORDS[Verdict.OUTSIDE]()), "")
        if outside or all(open_words):
            # Of several kinds that would do, the one that was measured says more than one that wasn't; and where one
            # is outside its limit, another that is within doesn't make it good.
            said = outside or next((w for w in open_words if w != _("not yet measured")), open_words[0])
            return False, name + said
    return True, ""


def _one_record(evidence: _Evidence, requirement: ByRecord, kind: str, subject: str) -> str:
    """What is missing of one record; empty when it meets what is asked."""
    record = evidence.records.get((kind, subject)) or (
        None if requirement.each else next((r for (k, _s), r in evidence.records.items() if k == kind), None)
    )
    if record is None:
        return _("not yet measured")
    if record.verdict != Verdict.WITHIN:
        return WORDS[record.verdict]()
    disturbance = evidence.disturbance_since(record.taken_at, requirement)
    return _since(disturbance) if disturbance else ""


def _subject_words(each: str, subject: str) -> str:
    if subject == "boost":
        return _("boost converter ")
    if each == "stage":
        return _("stage of machine %(n)s ") % {"n": subject.removeprefix("machine_")}
    return _("machine %(n)s ") % {"n": subject}


def _by_proof(evidence: _Evidence, requirement: ByProof) -> tuple[bool, str]:
    last = evidence.records.get((requirement.kind, ""))
    if last is None:
        return False, _("not yet measured")
    if last.verdict != Verdict.WITHIN:
        return False, WORDS[last.verdict]()
    disturbance = evidence.disturbance_since(last.taken_at, requirement)
    if disturbance:
        return False, _since(disturbance)
    if evidence.until or evidence.found.proof:  # it stood when fitting began, or fitting couldn't have begun
        return True, ""
    return False, _("the proof has ended: it is of another day, or the car was live or at 12 V since")


def _by_entry(evidence: _Evidence, requirement: ByEntry) -> tuple[bool, str]:
    entry = evidence.entries.get(requirement.step)
    if entry is None:
        return False, _("not yet signed")
    if not entry.good:
        return False, _("signed as not good")
    disturbance = evidence.disturbance_since(entry.signed_at, requirement)
    return (False, _since(disturbance)) if disturbance else (True, "")


def _by_receipt(evidence: _Evidence, requirement: ByReceipt) -> tuple[bool, str]:
    request = evidence.job.part_request
    if request is None:
        return False, _("no part asked for yet")
    if request.received_at is None:
        return False, _("not yet received")
    if not request.received_as_ordered:
        return False, _("number or marks not as ordered")
    return True, ""


def _by_codes(evidence: _Evidence, requirement: ByCodes) -> tuple[bool, str]:
    reading = evidence.codes_read_again()
    if reading is None:
        return False, _("not yet read again")
    still = ", ".join(dict.fromkeys(str(code) for code in reading.codes.all()))
    return (False, _("still stored: %(codes)s") % {"codes": still}) if still else (True, _("none stored"))


def _by_outlook(evidence: _Evidence, requirement: ByOutlook) -> tuple[bool, str]:
    known = outlook_of(evidence.job.vehicle)
    return (True, str(known.sentence)) if known.counted else (False, _("no capacity of the battery is known"))


WORDS: dict[str, Callable[[], str]] = {
    Verdict.OUTSIDE: lambda: _("outside the entered limit"),
    Verdict.UNPROVEN: lambda: _("not enough data"),
}

_LOOKED_UP: dict[type, Callable[[_Evidence, Any], tuple[bool, str]]] = {
    ByRecord: _by_record,
    ByProof: _by_proof,
    ByEntry: _by_entry,
    ByReceipt: _by_receipt,
    ByCodes: _by_codes,
    ByOutlook: _by_outlook,
}
