"""Making safe: the steps in their order, the voltages, and what ends them."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from diagnostics.kinds import all_kinds
from diagnostics.presenting import present_record
from diagnostics.record_form import RecordForm
from diagnostics.recording import PROOF_OF_ABSENCE
from jobs import making_safe
from jobs.models import Job, SafeStep, StateChange
from jobs.safety_forms import SigningForm, StateChangeForm, StepForm, facts_in_words
from jobs.working import CannotBeSigned
from network import signing
from network.access import MemberRequest, member_required
from network.models import Membership


def _job(pk: int) -> Job:
    return get_object_or_404(Job.objects.select_related("vehicle__family", "sheet__family"), pk=pk)


def _row(code: making_safe.Code, done: SafeStep | None) -> dict[str, Any]:
    said = facts_in_words(code, done.facts) if done else []
    return {"code": code, "label": code.label, "done": done, "said": said}


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def job_safe(request: MemberRequest, pk: int) -> HttpResponse:
    """The steps of making safe; the next one stands open, to be signed by a code."""
    shown = _job(pk)
    step = request.POST.get("step", "")
    form = None
    status = 200
    if request.method == "POST" and step in making_safe.Code:
        form = StepForm(request.POST, step=step, device=request.membership)
        status = 422
        if form.is_valid():
            sentence = _sign_step(request, shown, form)
            if not sentence:
                return redirect(f"{reverse('job_safe', args=[pk])}#{_after(step)}")
            form.add_error(None, sentence)
            status = 409
    return _page(request, shown, form, status)


def _after(step: str) -> str:
    """Where the page goes on: the step behind this one, or the proof."""
    behind = making_safe.ORDER.index(making_safe.Code(step)) + 1
    return str([*making_safe.ORDER, "proof"][behind])


def _sign_step(request: MemberRequest, job: Job, form: StepForm) -> str:
    """Sign it; the sentence that says why not, or nothing."""
    try:
        by = _signer(request, form)
        making_safe.do(job=job, step=form.step, facts=form.facts(), by=by, beside=form.cleaned_data["beside"])
    except (signing.NotSigned, CannotBeSigned) as why:
        return str(why)
    return ""


def _signer(request: MemberRequest, form: SigningForm) -> Membership:
    typed = form.cleaned_data
    return signing.signer(device=request.membership, person=typed["signer"].pk, code=typed["code"])


def _page(request: MemberRequest, job: Job, form: StepForm | None, status: int) -> HttpResponse:
    stands = making_safe.standing(job)
    first = {"signer": request.user.pk}
    if form is None and stands.next and not stands.quarantined:
        last = max(stands.steps.values(), key=lambda one: one.pk, default=None)
        if last:
            first = {"signer": last.done_by_id, "beside": last.stood_by_id}
        form = StepForm(step=stands.next, device=request.membership, initial=first)
    proof_form = None
    if stands.next is None and not stands.proof and not stands.quarantined:
        initial = making_safe.first_values_of_proof(stands)
        kind = all_kinds()[PROOF_OF_ABSENCE]
        proof_form = RecordForm(kind=kind, sheet=job.sheet, membership=request.membership, initial=initial)
    context: dict[str, Any] = {
        "job": job,
        "stands": stands,
        "rows": [_row(code, stands.steps.get(code)) for code in making_safe.ORDER],
        "form": form,
        "kind": all_kinds()[PROOF_OF_ABSENCE],
        "proof_form": proof_form,
        "judged": present_record(stands.last_proof) if stands.last_proof else None,
        "changes": StateChange.objects.filter(job=job).select_related("signed_by").order_by("-pk")[:10],
    }
    return render(request, "jobs/job_safe.html", context, status=status)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def job_state(request: MemberRequest, pk: int) -> HttpResponse:
    """Note that the car is no longer dead: steps and proof end with it."""
    shown = _job(pk)
    first = {"signer": request.user.pk}
    form = StateChangeForm(request.POST if request.method == "POST" else None, device=request.membership, initial=first)
    status = 422 if form.errors else 200
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        try:
            by = _signer(request, form)
            making_safe.change_state(job=shown, what=typed["what"], words=typed["words"], by=by, beside=typed["beside"])
        except (signing.NotSigned, CannotBeSigned) as why:
            form.add_error(None, str(why))
            status = 409
        else:
            messages.warning(request, _("Noted. The proof has ended; before anything orange is touched, begin anew."))
            return redirect("job_safe", pk=pk)
    return render(request, "jobs/job_state.html", {"job": shown, "form": form}, status=status)
