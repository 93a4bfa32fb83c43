"""The page of a job: one long sheet in the order of the work, told as steps that are done, present or waiting."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from typing import Any

from django.http import Http404
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from diagnostics.calculations.verdicts import Verdict
from diagnostics.kind import Kind
from diagnostics.kinds import all_kinds
from diagnostics.models import Record, SystemFamily
from diagnostics.presenting import Judged, present_record
from diagnostics.record_form import RecordForm
from diagnostics.recording import PROOF_OF_ABSENCE
from diagnostics.shown import Row, rows_of
from jobs import ring
from jobs.clearance import Clearance, clearance
from jobs.models import Job, SignedEntry
from jobs.requirements import REQUIREMENTS, ByEntry, ByProof, ByReceipt, ByRecord
from jobs.working import COMES_AFTER
from network.models import Membership

Step = SignedEntry.Step


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What a step that is signed asks for, and whether the signer says if it is good."""

    title: str | Promise
    ask: str | Promise
    judged: bool


LATER_STEPS = {
    Step.FITTED: Asked(
        title=gettext_lazy("Fitted"), ask=gettext_lazy("What was fitted, torque, coding and resets done"), judged=False
    ),
    Step.PROVED: Asked(
        title=gettext_lazy("Proved"),
        ask=gettext_lazy("Isolation after fitting, codes read again, fan or pump through its steps, road test"),
        judged=True,
    ),
    Step.HANDED_OVER: Asked(
        title=gettext_lazy("Handed over"), ask=gettext_lazy("What the owner was told, and what to watch"), judged=False
    ),
}


def requirement_for(step: str) -> Asked:
    """What signing this step asks; 404 for a step that nobody signs."""
    if step in LATER_STEPS:
        return LATER_STEPS[Step(step)]
    for requirements in REQUIREMENTS.values():
        for requirement in requirements:
            if isinstance(requirement, ByEntry) and requirement.step == step:
                return Asked(title=requirement.title, ask=requirement.ask, judged=True)
    raise Http404


@dataclass(kw_only=True)
class SheetStep:
    """One step of the sheet. `state` is done, now or later; `found` says what was found, or what it waits for."""

    code: str
    name: str
    done: bool
    found: str
    state: str = ""
    verdict: str = ""
    said: str = ""
    at: datetime.datetime | None = None
    url: str = ""
    label: str = ""
    holds_record: bool = False  # the record that is open stands in this step
    details: list[tuple[str, str]] = field(default_factory=list)

    @property
    def day(self) -> str:
        if self.at is None:
            return ""
        local = timezone.localtime(self.at)
        return _("today") if local.date() == timezone.localdate() else date_format(local, "D j M")

    @property
    def time(self) -> str:
        return date_format(timezone.localtime(self.at), "H:i") if self.at else ""


@dataclass(frozen=True, kw_only=True)
class OpenRecord:
    """The kind that stands open on the sheet: its form, and how its last record was judged."""

    kind: Kind
    form: RecordForm
    judged: Judged | None


@dataclass(frozen=True, kw_only=True)
class Page:
    clearance: Clearance
    ring: Any
    requirements: list[dict[str, Any]]
    steps: list[SheetStep]
    rows: list[Row]
    to_measure: list[Kind]
    kinds: list[Kind]
    families: list[SystemFamily]
    opened: OpenRecord | None


def page_of(job: Job, *, membership: Membership, opened: str) -> Page:
    """Everything the page shows, read once."""
    stands = clearance(job)
    records = list(Record.objects.filter(sheet=job.sheet).select_related("taken_by", "stood_by").order_by("sequence"))
    entries = {entry.step: entry for entry in SignedEntry.objects.filter(job=job).select_related("signed_by")}
    measured = {record.kind for record in records}
    needed = [r.kind for r in REQUIREMENTS[job.part] if isinstance(r, ByRecord | ByProof)]
    steps = _steps(job, stands, records, entries)
    open_record = _opened(job, membership, opened or _next_kind(stands, job), records)
    if open_record:
        home = "made_safe" if open_record.kind.code == PROOF_OF_ABSENCE else "measured"
        for step in steps:
            step.holds_record = step.code == home
    return Page(
        clearance=stands,
        ring=ring.build(segments=_segments(stands)),
        requirements=[_as_item(job, standing, stands.next is standing) for standing in stands.standings],
        steps=steps,
        rows=[row for row in rows_of(records) if row.record.kind != PROOF_OF_ABSENCE],
        to_measure=[k for k in all_kinds().values() if k.code not in measured and k.code in needed],
        kinds=list(all_kinds().values()),
        families=[] if job.vehicle.family_id else list(SystemFamily.objects.all()),
        opened=open_record,
    )


def _segments(stands: Clearance) -> list[ring.State]:
    return ["met" if one.met else "next" if one is stands.next else "open" for one in stands.standings]


def _as_item(job: Job, standing: Any, is_next: bool) -> dict[str, Any]:
    return {
        "number": standing.number,
        "state": "met" if standing.met else "next" if is_next else "open",
        "label": standing.title,
        "note": standing.why,
        "url": "" if standing.met else _way_to(job, standing.requirement),
    }


def _way_to(job: Job, requirement: Any) -> str:
    """Where the requirement can be met."""
    here = reverse("job", args=[job.pk])
    match requirement:
        case ByRecord() | ByProof():
            return f"{here}?open={requirement.kind}#open"
        case ByEntry():
            return reverse("entry_sign", args=[job.pk, requirement.step])
        case ByReceipt() if job.part_request:
            return reverse("request", args=[job.part_request.pk])
    return reverse("job_part", args=[job.pk])


def _next_kind(stands: Clearance, job: Job) -> str:
    waiting = stands.next
    requirement = waiting.requirement if waiting else None
    return requirement.kind if isinstance(requirement, ByRecord | ByProof) and not job.handed_over_at else ""


def _opened(job: Job, membership: Membership, wanted: str, records: list[Record]) -> OpenRecord | None:
    kind = all_kinds().get(wanted)
    if kind is None:
        return None
    of_kind = [record for record in records if record.kind == kind.code]
    machines = job.sheet.family.machines if job.sheet.family else 1
    done = {record.subject for record in of_kind if record.verdict == Verdict.WITHIN}
    subject = next((str(n + 1) for n in range(machines) if str(n + 1) not in done), "1") if kind.per_subject else ""
    last = next((record for record in reversed(of_kind) if record.subject == subject), None)
    form = RecordForm(kind=kind, sheet=job.sheet, membership=membership, initial={"subject": subject})
    return OpenRecord(kind=kind, form=form, judged=present_record(last) if last else None)


def _steps(job: Job, stands: Clearance, records: list[Record], entries: dict[str, SignedEntry]) -> list[SheetStep]:
    """All steps with what was found; the first that is not done is the present one."""
    proof = next((r for r in reversed(records) if r.kind == PROOF_OF_ABSENCE), None)
    steps = [
        _booked_in(job),
        _made_safe(stands, proof),
        _measured(stands, records),
        _signed(job, entries, Step.CAUSE, _("Cause"), _("what failed, and what made it fail")),
        _part(job),
        _cleared(stands),
        *(_later(job, stands, entries, step, str(asked.title)) for step, asked in LATER_STEPS.items()),
        _outcome(job),
    ]
    present = next((step for step in steps if not step.done), None)
    for step in steps:
        step.state = "done" if step.done else "now" if step is present else "later"
    return steps


def _booked_in(job: Job) -> SheetStep:
    codes = ", ".join(code.code for code in job.codes.all())
    return SheetStep(
        code="booked_in",
        name=_("Booked in"),
        done=True,
        at=job.booked_in_at,
        found=job.complaint if len(job.complaint) <= 120 else job.complaint[:119] + "…",
        said=_("crash, flood, smoke or smell: keep it outside") if job.damaged else _("no crash, flood or smell"),
        details=[
            (_("Complaint"), job.complaint),
            (_("Trouble codes"), codes or _("none noted")),
            (_("Recalls and battery warranty"), _("asked") if job.recalls_asked else _("not asked yet")),
            (_("VIN"), job.vehicle.vin or _("not noted")),
        ],
    )


def _made_safe(stands: Clearance, proof: Record | None) -> SheetStep:
    standing = next(s for s in stands.standings if isinstance(s.requirement, ByProof))
    row = rows_of([proof])[0] if proof else None
    return SheetStep(
        code="made_safe",
        name=standing.title,
        done=proof is not None,
        at=proof.taken_at if proof else None,
        found=row.found if row else _("waits for the meter, the maker's wait and a second person"),
        verdict=(proof.verdict if standing.met or proof.verdict != "within" else "unproven") if proof else "unmeasured",
        said="" if standing.met or not proof else standing.why,
        details=[(_("Now"), standing.why)] if proof and standing.why else [],
    )


def _measured(stands: Clearance, records: list[Record]) -> SheetStep:
    waiting = [s for s in stands.standings if isinstance(s.requirement, ByRecord) and not s.met]
    taken = [r for r in records if r.kind != PROOF_OF_ABSENCE]
    return SheetStep(
        code="measured",
        name=_("Measured"),
        done=not waiting,
        at=taken[-1].taken_at if taken else None,
        found="; ".join(f"{s.title}: {s.why}" for s in waiting) or _("%(n)d records") % {"n": len(taken)},
        verdict="" if waiting else "within",
    )


def _signed(job: Job, entries: dict[str, SignedEntry], step: str, name: str, waits: str) -> SheetStep:
    entry = entries.get(step)
    return SheetStep(
        code=step,
        name=name,
        done=bool(entry and entry.good),
        at=entry.signed_at if entry else None,
        found=entry.words if entry else waits,
        said=_("signed by %(who)s") % {"who": entry.signed_by} if entry else "",
        url=reverse("entry_sign", args=[job.pk, step]),
        label=_("Sign: %(name)s") % {"name": name},
    )


def _later(job: Job, stands: Clearance, entries: dict[str, SignedEntry], step: Step, name: str) -> SheetStep:
    """Fitting, proving, handing over: can be signed only when what comes before it is done."""
    shown = _signed(job, entries, step, name, _waits_for(step))
    before = COMES_AFTER.get(step)
    may = stands.clear if step == Step.FITTED else before in entries and entries[str(before)].good
    if not may or job.handed_over_at:
        shown.url = ""
    elif not shown.done:
        shown.found = str(LATER_STEPS[step].ask)
    return shown


def _waits_for(step: str) -> str:
    return {
        Step.FITTED: _("waits for clearance"),
        Step.PROVED: _("waits for fitting: isolation, codes read again, road test"),
        Step.HANDED_OVER: _("waits for proof"),
    }[Step(step)]


def _part(job: Job) -> SheetStep:
    request = job.part_request
    if request is None:
        return SheetStep(
            code="part",
            name=_("Part"),
            done=False,
            found=_("not asked for yet"),
            url=reverse("job_part", args=[job.pk]),
            label=_("Ask for the part"),
        )
    return SheetStep(
        code="part",
        name=_("Part"),
        done=request.received_as_ordered,
        at=request.received_at or request.asked_at,
        found=f"{request.number}: {request.get_state_display()}",
        url=reverse("request", args=[request.pk]),
        label=_("Open the request"),
    )


def _cleared(stands: Clearance) -> SheetStep:
    numbers = ", ".join(str(s.number) for s in stands.standings if not s.met)
    return SheetStep(
        code="cleared",
        name=_("Cleared to fit"),
        done=stands.clear,
        found=_("every requirement is met") if stands.clear else _("waits for %(numbers)s") % {"numbers": numbers},
    )


def _outcome(job: Job) -> SheetStep:
    shared = job.outcome
    return SheetStep(
        code="outcome",
        name=_("Outcome shared"),
        done=shared is not None,
        at=shared.shared_at if shared else None,
        found=shared.symptom if shared else _("waits for handover; nothing of the customer or the car is shared"),
        url=reverse("outcome", args=[shared.pk])
        if shared
        else reverse("outcome_share", args=[job.pk])
        if job.handed_over_at
        else "",
        label=_("Open the outcome") if shared else _("Write the outcome"),
    )
