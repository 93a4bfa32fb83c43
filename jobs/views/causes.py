"""The cause of a job, and marks on its photos."""

from __future__ import annotations

from django.db.models import QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from jobs import causes, drafts, working
from jobs.cause_forms import CauseForm, MarkForm
from jobs.models import Job, SignedEntry
from network.access import MemberRequest, member_required

STEP = SignedEntry.Step.CAUSE
SHOWN_WIDTH = 320  # px: a click on the photo is told in these, whatever the screen


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def job_cause(request: MemberRequest, pk: int) -> HttpResponse:
    """Name the cause with its evidence. A half-filled one is kept as a draft; a newer one is shown first."""
    job = get_object_or_404(Job.objects.with_facts(), pk=pk)
    draft = drafts.of(job=job, step=STEP, by=request.membership)
    named = list(_named(job))
    first = {"seen": len(named)}
    form = CauseForm(
        request.POST if request.method == "POST" else None, request.FILES or None, job=job, initial=draft | first
    )
    status = 200
    if request.method == "POST" and request.POST.get("act") == "draft":
        drafts.keep(job=job, step=STEP, by=request.membership, typed=request.POST)
        return redirect("job_cause", pk=pk)
    if request.method == "POST" and form.is_valid():
        try:
            causes.name(job=job, by=request.membership, **form.facts())
        except causes.Overtaken:
            newer = list(_named(job))
            return _page(request, job, _again(request, job, len(newer)), newer, 409, overtaken=True)
        except working.CannotBeSigned as why:
            form.add_error(None, str(why))
            status = 409
        else:
            drafts.forget(job=job, step=STEP, by=request.membership)
            return redirect(f"{reverse('job', args=[pk])}#{STEP}")
    return _page(request, job, form, named, status if status != 200 else 422 if form.errors else 200, kept=bool(draft))


def _again(request: MemberRequest, job: Job, seen: int) -> CauseForm:
    """What was typed, now knowing of the newer cause: sent again it stands beside it, as the newest."""
    typed = request.POST.copy()
    typed["seen"] = str(seen)
    return CauseForm(typed, job=job)


def _named(job: Job) -> QuerySet[SignedEntry]:
    """The causes that were signed, the newest first."""
    rows = SignedEntry.objects.filter(job=job, step=STEP).select_related("signed_by", "cause__repeat_of")
    newest_first: QuerySet[SignedEntry] = rows.order_by("-pk")
    return newest_first


def _page(
    request: MemberRequest,
    job: Job,
    form: CauseForm,
    named: list[SignedEntry],
    status: int,
    *,
    overtaken: bool = False,
    kept: bool = False,
) -> HttpResponse:
    context = {
        "job": job,
        "form": form,
        "overtaken": overtaken,
        "kept": kept,
        "named": named,
        "last": getattr(named[0], "cause", None) if named else None,
        "alike": causes.alike(job),
        "pictures": job.pictures.prefetch_related("marks"),
    }
    return render(request, "jobs/job_cause.html", context, status=status)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def photo_marks(request: MemberRequest, pk: int, photo: int) -> HttpResponse:
    """Marks on one photo of a job: a click on it fills the position in, and so does typing it."""
    job = get_object_or_404(Job.objects.select_related("vehicle"), pk=pk)
    picture = get_object_or_404(job.pictures.all(), pk=photo)
    height = max(1, round(SHOWN_WIDTH * picture.height / picture.width))
    form = MarkForm(request.POST if request.method == "POST" else None, initial=_clicked(request, height))
    if request.method == "POST" and form.is_valid():
        causes.mark(picture=picture, by=request.membership, **form.cleaned_data)
        return redirect("photo_marks", pk=pk, photo=photo)
    spots = [(m, m.x / 100 * picture.width, m.y / 100 * picture.height) for m in picture.marks.all()]
    context = {
        "job": job, "picture": picture, "form": form, "spots": spots, "width": SHOWN_WIDTH, "height": height,
        "radius": picture.width / 28, "size": picture.width / 24,
    }  # fmt: skip
    return render(request, "jobs/photo_marks.html", context, status=422 if form.errors else 200)


def _clicked(request: MemberRequest, height: int) -> dict[str, str]:
    """Where the photo was clicked, in per cent."""
    clicked = {}
    for name, whole in (("x", SHOWN_WIDTH), ("y", height)):
        text = request.GET.get(f"at.{name}", "")
        if text.isascii() and text.isdecimal() and len(text) < 6:
            clicked[name] = f"{min(100.0, 100 * int(text) / whole):.1f}"
    return clicked
