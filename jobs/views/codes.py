"""Trouble codes of a job: every reading, before the repair and after it, and what is noted of one code."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from jobs import codes
from jobs.code_forms import NoteForm, ReadingForm
from jobs.models import CodeReading, Job, JobCode
from network.access import MemberRequest, member_required


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def job_codes(request: MemberRequest, pk: int) -> HttpResponse:
    """The codes of a job with what they say, and a form for one more reading."""
    shown = get_object_or_404(Job.objects.select_related("vehicle"), pk=pk)
    form = ReadingForm(request.POST if request.method == "POST" else None, initial={"stage": _stage(shown)})
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        codes.add(
            job=shown, codes=typed["codes"], by=request.membership, stage=typed["stage"], form=typed["form"],
            text=typed["text"], unit=typed["unit"],
        )  # fmt: skip
        return redirect("job_codes", pk=pk)
    context = {"job": shown, "form": form, "compared": codes.compared(shown), "readings": codes.readings(shown)}
    return render(request, "jobs/job_codes.html", context, status=422 if form.errors else 200)


def _stage(job: Job) -> str:
    """What is likely to be read now: after the fitting was signed, the codes after the repair."""
    return CodeReading.Stage.AFTER if job.entries.filter(step="fitted").exists() else CodeReading.Stage.FOUND


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def code_note(request: MemberRequest, pk: int) -> HttpResponse:
    """One code: its structure and status in words, its freeze frame, and what it means for this workshop."""
    shown = get_object_or_404(JobCode.objects.select_related("job__vehicle", "reading__read_by"), pk=pk)
    line = codes.told([shown])[0]
    first = {"detail": shown.detail, "freeze_frame": shown.freeze_frame, "words": line.words}
    form = NoteForm(request.POST if request.method == "POST" else None, code=shown, initial=first)
    if request.method == "POST" and form.is_valid():
        codes.note(code=shown, by=request.membership, **form.cleaned_data)
        return redirect("job_codes", pk=shown.job_id)
    context = {"job": shown.job, "line": line, "form": form}
    return render(request, "jobs/code_note.html", context, status=422 if form.errors else 200)
