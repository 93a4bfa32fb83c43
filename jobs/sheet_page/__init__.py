"""The page of a job: one long sheet in the order of the work, told as steps that are done, present or waiting."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, cast

from django.urls import reverse
from django.utils.translation import gettext as _

from diagnostics.calculations.verdicts import Verdict
from diagnostics.kind import Kind
from diagnostics.kinds import all_kinds
from diagnostics.models import Record, SystemFamily
from diagnostics.presenting import Judged, present_record
from diagnostics.record_form import RecordForm
from diagnostics.recording import PROOF_OF_ABSENCE
from diagnostics.shown import Row, rows_of
from jobs import estimating, ring
from jobs.clearance import clearance
from jobs.finishing import Stage, how_it_stands
from jobs.models import Job, JobCode, SignedEntry
from jobs.requirements import REQUIREMENTS, ByCodes, ByEntry, ByOutlook, ByProof, ByReceipt, ByRecord
from jobs.sheet_page.agreed import agreed_step
from jobs.sheet_page.beginning import booked_in, cause_named, made_safe, measured
from jobs.sheet_page.finishing import (
    cleared_step,
    done_words,
    handed_over_step,
    list_step,
    outcome_step,
    part_step,
    progress,
)
from jobs.sheet_page.steps import SheetStep, Step, asked_by
from jobs.standing import Found, Stands, held_by
from network.models import Membership

__all__ = ["asked_by", "done_words", "page_of", "segments_of", "way_to"]


@dataclass(frozen=True, kw_only=True)
class OpenRecord:
    """The kind that stands open on the sheet: its form, and how its last record was judged."""

    kind: Kind
    form: RecordForm
    judged: Judged | None


@dataclass(frozen=True, kw_only=True)
class Page:
    clearance: Stands
    says: tuple[str, str, str]  # what the page opens with: class and word of the state, and its sentence
    ring: Any
    requirements: list[dict[str, Any]]
    steps: list[SheetStep]
    rows: list[Row]
    to_measure: list[Kind]
    kinds: list[Kind]
    families: list[SystemFamily]
    opened: OpenRecord | None
    codes: list[JobCode]  # as found
    beyond: str  # said first: the work went beyond what the owner agreed to

    go_on: tuple[str, str] | None  # address and words of the one thing to do now, offered before everything else


def page_of(job: Job, *, membership: Membership, opened: str) -> Page:
    """Everything the page shows, read once."""
    found = held_by(job)
    stands = clearance(job, found)
    records, entries = found.taken, found.newest
    kinds_taken = {record.kind for record in records}
    needed = {k for r in REQUIREMENTS[job.part] if isinstance(r, ByRecord) for k in r.kinds}
    money = estimating.standing(job)
    going = _going(stands, found)
    codes = list(job.codes.as_found())
    steps = _steps(found, stands, going, codes)
    steps.insert([step.code for step in steps].index("part"), agreed_step(job, money))
    _set_states(steps)
    open_record = _opened(job, membership, opened or _next_kind(stands, job), records)
    if open_record:
        for step in steps:
            step.holds_record = step.code == "measured"
    return Page(
        clearance=stands,
        says=_says(job, stands, going, entries),
        ring=ring.build(segments=segments_of(stands)),
        requirements=[_as_item(job, standing, stands.next is standing) for standing in stands.standings],
        steps=steps,
        rows=[row for row in rows_of(records) if row.record.kind != PROOF_OF_ABSENCE],
        to_measure=[k for k in all_kinds().values() if k.code not in kinds_taken and k.code in needed],
        kinds=[kind for kind in all_kinds().values() if kind.code != PROOF_OF_ABSENCE],
        families=[] if job.vehicle.family_id else list(SystemFamily.objects.all()),
        opened=open_record,
        codes=codes,
        beyond=money.beyond_sentence,
        go_on=_go_on(job, stands, steps),
    )


def _go_on(job: Job, stands: Stands, steps: list[SheetStep]) -> tuple[str, str] | None:
    """Once the car is safe, what the ring waits for; before and after that, the present step."""
    now = next((step for step in steps if step.state == "now"), None)
    if now is None:
        return None
    if now.code == "measured" and stands.next:
        requirement = stands.next.requirement
        words = {ByRecord: _("Measure: %(what)s"), ByEntry: _("Sign: %(what)s")}.get(type(requirement), "%(what)s")
        return way_to(job, requirement), words % {"what": stands.next.title}
    return (now.url, now.label) if now.url else None


def _says(
    job: Job, cleared: Stands, going: dict[str, Stands | None], entries: dict[str, SignedEntry]
) -> tuple[str, str, str]:
    proved, proving, fitting = entries.get(Step.PROVED), going[Stage.PROVING], going[Stage.FITTING]
    if job.in_quarantine:
        return "hold", _("Stop:"), _("the car stands in quarantine; nothing on it is touched.")
    if proved and proved.good:
        return "clear", _("Proved:"), _("the car can be handed over.")
    if proving:
        return "hold", _("Proving:"), progress(proving)
    if job.cleared_at and fitting:
        return "hold", _("Fitting:"), progress(fitting)
    if cleared.clear:
        return "clear", _("Clear:"), cleared.sentence
    return "hold", _("Hold:"), cleared.sentence


def segments_of(stands: Stands) -> list[ring.State]:
    return ["next" if one is stands.next else cast(ring.State, one.state) for one in stands.standings]


def _as_item(job: Job, standing: Any, is_next: bool) -> dict[str, Any]:
    return {
        "number": standing.number,
        "state": "next" if is_next else standing.state,
        "label": standing.title,
        "note": standing.why,
        "url": "" if standing.met else way_to(job, standing.requirement),
    }


def way_to(job: Job, requirement: Any) -> str:
    """Where the requirement can be met."""
    here = reverse("job", args=[job.pk])
    match requirement:
        case ByProof():
            return reverse("job_safe", args=[job.pk])
        case ByRecord():
            return f"{here}?open={requirement.kind}#open"
        case ByEntry(step=Step.CAUSE):
            return reverse("job_cause", args=[job.pk])
        case ByEntry():
            return reverse("entry_sign", args=[job.pk, requirement.step])
        case ByCodes():
            return reverse("job_codes", args=[job.pk])
        case ByOutlook():
            return reverse("vehicle_battery", args=[job.vehicle_id])
        case ByReceipt() if job.part_request:
            return reverse("request", args=[job.part_request.pk])
    return reverse("job_part", args=[job.pk])


def _next_kind(stands: Stands, job: Job) -> str:
    waiting = stands.next
    requirement = waiting.requirement if waiting else None
    return requirement.kind if isinstance(requirement, ByRecord) and not job.handed_over_at else ""


def _opened(job: Job, membership: Membership, wanted: str, records: list[Record]) -> OpenRecord | None:
    kind = all_kinds().get(wanted)
    if kind is None or kind.code == PROOF_OF_ABSENCE:  # the proof has a page of its own, with the steps before it
        return None
    of_kind = [record for record in records if record.kind == kind.code]
    machines = job.sheet.family.machines if job.sheet.family else 1
    done = {record.subject for record in of_kind if record.verdict == Verdict.WITHIN}
    subject = next((str(n + 1) for n in range(machines) if str(n + 1) not in done), "1") if kind.per_subject else ""
    last = next((record for record in reversed(of_kind) if record.subject == subject), None)
    form = RecordForm(kind=kind, sheet=job.sheet, membership=membership, initial={"subject": subject})
    return OpenRecord(kind=kind, form=form, judged=present_record(last) if last else None)


def _going(cleared: Stands, found: Found) -> dict[str, Stands | None]:
    """How the lists of fitting and proving stand; None before their time."""
    fitted = found.newest.get(Step.FITTED)
    may = {Stage.FITTING: cleared.clear, Stage.PROVING: bool(fitted and fitted.good)}
    return {stage: how_it_stands(found, stage) if may[stage] else None for stage in (Stage.FITTING, Stage.PROVING)}


def _steps(found: Found, stands: Stands, going: dict[str, Stands | None], codes: list[JobCode]) -> list[SheetStep]:
    """All steps of the work with what was found."""
    job, records, entries = found.job, found.taken, found.newest
    proof = next((r for r in reversed(records) if r.kind == PROOF_OF_ABSENCE), None)
    return [
        booked_in(job, codes),
        made_safe(found, stands, proof),
        measured(stands, records),
        cause_named(job, entries),
        part_step(job),
        cleared_step(job, stands),
        *(list_step(job, entries, stage, stand) for stage, stand in going.items()),
        handed_over_step(job, entries),
        outcome_step(job),
    ]


def _set_states(steps: list[SheetStep]) -> None:
    """The first step that is not done is the present one."""
    present = next((step for step in steps if not (step.done or step.never_now)), None)
    for step in steps:
        step.state = "done" if step.done else "now" if step is present else "later"
