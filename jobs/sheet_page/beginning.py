"""Booked in, made safe, measured: what stands on the sheet before the cause has a name."""

from __future__ import annotations

from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from diagnostics.models import Record
from diagnostics.recording import PROOF_OF_ABSENCE
from diagnostics.shown import rows_of
from jobs import making_safe
from jobs.booking import towing_advice
from jobs.booking_forms import remarks_on
from jobs.models import Cause, Job, JobCode, SignedEntry, Triage
from jobs.requirements import ByRecord
from jobs.requirements.every_part import DEAD
from jobs.sheet_page.steps import SheetStep, Step, signed_step
from jobs.standing import Found, Standing, Stands


def booked_in(job: Job, found_codes: list[JobCode]) -> SheetStep:
    codes = ", ".join(dict.fromkeys(map(str, found_codes)))
    return SheetStep(
        code="booked_in",
        name=_("Booked in"),
        done=not job.in_quarantine,
        at=job.booked_in_at,
        found=_stop(job) or (job.complaint if len(job.complaint) <= 120 else job.complaint[:119] + "…"),
        said=_first_look(job),
        url=reverse("job_quarantine" if job.in_quarantine else "job_change", args=[job.pk]),
        label=_("Watch its temperature") if job.in_quarantine else _("Change what was noted"),
        details=[
            (_("Complaint"), job.complaint),
            (_("Trouble codes"), codes or _("none noted")),
            (_("Open recalls"), job.get_recalls_display()),
            (_("The maker’s battery warranty"), job.get_warranty_display()),
            *([(_("Which, and who said so"), job.asked_note)] if job.asked_note else []),
            (_("Dismantling to find the cause"), _agreed(job.may_dismantle)),
            (_("Road test with the high-voltage system live"), _agreed(job.may_drive_live)),
            (_("Old parts"), _("wanted back") if job.old_parts_back else _("not wanted back")),
            (_("Belongings"), job.belongings or _("none noted")),
            (_("VIN"), _vin(job)),
            *([(_("To move it"), towing_advice(job.vehicle.driven_wheels))] if job.can_drive == "no" else []),
        ],
    )


def _stop(job: Job) -> str:
    return _("Stop: it stands outside, apart from others, and its temperature is watched") if job.in_quarantine else ""


def _first_look(job: Job) -> str:
    found = ", ".join(str(Triage(one).label) for one in job.triage if one in Triage)
    if not found:
        return _("no crash, water, smoke or smell")
    if job.in_quarantine:
        return found
    return _("%(found)s; quarantine ended") % {"found": found}


def _agreed(agreed: bool) -> str:
    return _("the owner agrees") if agreed else _("not agreed to")


def _vin(job: Job) -> str:
    vin = job.vehicle.vin
    remarks = " ".join(remark.message for remark in remarks_on(vin))
    return f"{vin} ({_('remark')}: {remarks})" if remarks else vin or _("not noted")


def made_safe(found: Found, stands: Stands, proof: Record | None) -> SheetStep:
    job = found.job
    standing = next(s for s in stands.standings if s.code == DEAD.code)
    row = rows_of([proof])[0] if proof else None
    return SheetStep(
        code="made_safe",
        name=standing.title,
        done=proof is not None,
        at=proof.taken_at if proof else None,
        found=row.found if row else making_safe.standing(job, found.of_turn).sentence,
        verdict=(proof.verdict if standing.met or proof.verdict != "within" else "unproven") if proof else "unmeasured",
        said="" if standing.met or not proof else standing.why,
        details=[(_("Now"), standing.why)] if proof and standing.why else [],
        url=reverse("job_safe", args=[job.pk]),
        label=_("Steps and changes of state") if proof else _("Make it safe, step by step"),
    )


def measured(stands: Stands, records: list[Record]) -> SheetStep:
    waiting = [s for s in stands.standings if isinstance(s.requirement, ByRecord) and not s.met]
    taken = [r for r in records if r.kind != PROOF_OF_ABSENCE]
    return SheetStep(
        code="measured",
        name=_("Measured"),
        done=not waiting,
        at=taken[-1].taken_at if taken else None,
        found=_first_of(waiting) if waiting else _("%(n)d records") % {"n": len(taken)},
        verdict="" if waiting else "within",
    )


def _first_of(waiting: list[Standing]) -> str:
    """What is measured next, and how much stands open behind it; the list beside the ring names them all."""
    first = f"{waiting[0].title}: {waiting[0].why}"
    more = len(waiting) - 1
    if not more:
        return first
    return first + ngettext("; one more stands open", "; %(n)d more stand open", more) % {"n": more}


def cause_named(job: Job, entries: dict[str, SignedEntry]) -> SheetStep:
    step = signed_step(job, entries, Step.CAUSE, _("Cause"), _("what failed, and what made it fail"))
    step.url, step.label = reverse("job_cause", args=[job.pk]), _("Name the cause")
    if step.at is None:
        return step
    named = Cause.objects.filter(job=job).select_related("repeat_of").prefetch_related("evidence").last()
    if named:
        step.label = _("Evidence and photos")
        shows = ", ".join(str(record.sequence) for record in named.evidence.all())
        step.details = [(_("Shown by the records"), shows or _("none pointed at"))]
        if named.repeat_of:
            step.details += [(_("A repair that came back"), _("job %(number)s") % {"number": named.repeat_of})]
    return step
