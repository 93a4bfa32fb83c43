"""Booked in, made safe, measured: what stands on the sheet before the cause has a name."""

from __future__ import annotations

from django.utils.translation import gettext as _

from diagnostics.models import Record
from diagnostics.recording import PROOF_OF_ABSENCE
from diagnostics.shown import rows_of
from jobs.clearance import Clearance
from jobs.models import Job
from jobs.requirements import ByProof, ByRecord
from jobs.sheet_page.steps import SheetStep


def booked_in(job: Job) -> SheetStep:
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


def made_safe(stands: Clearance, proof: Record | None) -> SheetStep:
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


def measured(stands: Clearance, records: list[Record]) -> SheetStep:
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
