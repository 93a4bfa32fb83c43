"""Clearance to fit: hold or clear, and why.

A part is fitted only when every requirement of its list is met by what was recorded, signed or received on this job.
Anything else is a hold, and the first requirement that is not met is said first. Nothing here is ever "safe": a closed
ring means that the evidence asked for is there, no more.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from diagnostics.calculations.verdicts import Verdict
from diagnostics.kinds import kind_of
from diagnostics.models import Record
from diagnostics.recording import proof_of_absence
from jobs.models import Job, SignedEntry
from jobs.requirements import REQUIREMENTS, ByEntry, ByProof, ByReceipt, ByRecord, Requirement


@dataclass(frozen=True, kw_only=True)
class Standing:
    """How one requirement stands: met or not, with the few words that say why."""

    number: int
    requirement: Requirement
    met: bool
    why: str

    @property
    def code(self) -> str:
        return self.requirement.code

    @property
    def title(self) -> str:
        return str(self.requirement.title)


@dataclass(frozen=True, kw_only=True)
class Clearance:
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
    def sentence(self) -> str:
        """What the page opens with, after "Hold:" or "Clear:"."""
        if self.next is None:
            return _("every requirement is met.")
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


def clearance(job: Job) -> Clearance:
    """How every requirement of the job's part stands now."""
    evidence = _Evidence(job)
    standings = []
    for number, requirement in enumerate(REQUIREMENTS[job.part], start=1):
        met, why = _LOOKED_UP[type(requirement)](evidence, requirement)
        standings.append(Standing(number=number, requirement=requirement, met=met, why=why))
    return Clearance(standings=tuple(standings))


class _Evidence:
    """What the job holds, read once."""

    def __init__(self, job: Job) -> None:
        self.job = job
        self.records: dict[tuple[str, str], Record] = {}
        for record in Record.objects.filter(sheet=job.sheet).standing().order_by("sequence"):
            self.records[record.kind, record.subject] = record
        self.entries: dict[str, SignedEntry] = {e.step: e for e in SignedEntry.objects.filter(job=job)}
        self.machines = job.sheet.family.machines if job.sheet.family else 1


def _by_record(evidence: _Evidence, requirement: ByRecord) -> tuple[bool, str]:
    kind = kind_of(requirement.kind)
    subjects = [str(n + 1) for n in range(evidence.machines)] if kind and kind.per_subject else [""]
    for subject in subjects:
        record = evidence.records.get((requirement.kind, subject))
        name = _("machine %(n)s ") % {"n": subject} if len(subjects) > 1 else ""
        if record is None:
            return False, _("%(name)snot yet measured") % {"name": name}
        if record.verdict != Verdict.WITHIN:
            return False, name + WORDS[record.verdict]()
    return True, ""


def _by_proof(evidence: _Evidence, requirement: ByProof) -> tuple[bool, str]:
    if proof_of_absence(evidence.job.sheet):
        return True, ""
    last = evidence.records.get((requirement.kind, ""))
    if last is None:
        return False, _("not yet measured")
    if last.verdict != Verdict.WITHIN:
        return False, WORDS[last.verdict]()
    return False, _("the proof has ended: it is of another day, or the car was live or at 12 V since")


def _by_entry(evidence: _Evidence, requirement: ByEntry) -> tuple[bool, str]:
    entry = evidence.entries.get(requirement.step)
    if entry is None:
        return False, _("not yet signed")
    return entry.good, "" if entry.good else _("signed as not good")


def _by_receipt(evidence: _Evidence, requirement: ByReceipt) -> tuple[bool, str]:
    request = evidence.job.part_request
    if request is None:
        return False, _("no part asked for yet")
    if request.received_at is None:
        return False, _("not yet received")
    if not request.received_as_ordered:
        return False, _("number or marks not as ordered")
    return True, ""


WORDS: dict[str, Callable[[], str]] = {
    Verdict.OUTSIDE: lambda: _("outside the entered limit"),
    Verdict.UNPROVEN: lambda: _("not enough data"),
}

_LOOKED_UP: dict[type, Callable[[_Evidence, Any], tuple[bool, str]]] = {
    ByRecord: _by_record,
    ByProof: _by_proof,
    ByEntry: _by_entry,
    ByReceipt: _by_receipt,
}
