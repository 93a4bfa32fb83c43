"""Outcomes: shared after a preview of exactly what will be seen; found by family, trouble code or part number."""

from __future__ import annotations

from typing import Any

from django.core.paginator import Paginator
from django.db.models import Count, Q, QuerySet
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from jobs import sharing
from jobs.models import Job, Outcome
from jobs.outcome_forms import OutcomeForm
from network import pictures as storing
from network.access import MemberRequest, member_required
from network.asked import key_of, words_to_find
from network.models import Picture


def counted(rows: Any) -> QuerySet[Any]:
    """With how many workshops confirm and contradict each."""
    opinions = {"confirmed": True, "contradicted": False}
    return rows.annotate(
        **{
            name: Count("opinions", filter=Q(opinions__confirms=confirms), distinct=True)
            for name, confirms in opinions.items()
        }
    )


@member_required
@require_safe
def outcomes(request: MemberRequest) -> HttpResponse:
    """What the network knows of one family, code or part number; without a search, the newest."""
    wanted = words_to_find(request)
    rows = Outcome.objects.shown()
    if wanted:
        rows = rows.filter(pk__in=Outcome.objects.about(wanted).values("pk"))
    listed = counted(rows).select_related("family", "workshop").prefetch_related("codes", "parts")
    context = {
        "wanted": wanted,
        "page": Paginator(listed.order_by("-shared_at", "-pk"), 25).get_page(request.GET.get("page")),
    }
    return render(request, "jobs/outcomes.html", context)


@member_required
@require_safe
def outcome(request: MemberRequest, pk: int) -> HttpResponse:
    """One outcome, with what other workshops say of it."""
    shown = get_object_or_404(counted(Outcome.objects.shown()).select_related("family", "workshop"), pk=pk)
    opinions = list(shown.opinions.select_related("workshop", "said_by"))
    context = {
        "outcome": shown,
        "own": shown.workshop_id == request.membership.workshop_id,
        "opinions": opinions,
        "ours": next((one for one in opinions if one.workshop_id == request.membership.workshop_id), None),
    }
    return render(request, "jobs/outcome.html", context)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def outcome_share(request: MemberRequest, pk: int) -> HttpResponse:
    """Write it, see exactly what every member would see, and only then share it."""
    rows = Job.objects.select_related("vehicle__customer", "vehicle__family", "part_request", "sheet")
    job = get_object_or_404(rows, pk=pk)
    posted = request.method == "POST"
    form = OutcomeForm(request.POST if posted else None, request.FILES if posted else None, job=job)
    of_the_job = list(job.pictures.all())
    context: dict[str, Any] = {"job": job, "form": form, "draft": sharing.draft(job), "offered": of_the_job}
    if not posted:
        return render(request, "jobs/outcome_share.html", context)
    valid = form.is_valid()
    chosen = _pictures(request, form)
    context |= {"pictures": chosen, "offered": [one for one in of_the_job if one not in chosen]}
    if not valid:
        return render(request, "jobs/outcome_share.html", context, status=422)
    typed = {name: value for name, value in form.cleaned_data.items() if name != "pictures"}
    if request.POST.get("act") != "share":
        context["draft"] |= {"parts": typed["parts"]}
        return render(request, "jobs/outcome_share.html", context | {"preview": form.instance})
    try:
        shared = sharing.share(job=job, by=request.membership, pictures=chosen, **typed)
    except sharing.NotFinished:
        form.add_error(None, _("An outcome is shared once, after the job was handed over."))
        return render(request, "jobs/outcome_share.html", context, status=409)
    except sharing.TellsTooMuch as private:
        form.add_error(None, str(private))
        return render(request, "jobs/outcome_share.html", context, status=422)
    return redirect("outcome", pk=shared.pk)


def _pictures(request: MemberRequest, form: OutcomeForm) -> list[Picture]:
    """Those ticked on the preview, and those just sent: kept as the workshop's own, since a form can't send twice."""
    keys = [key_of(key) for key in request.POST.getlist("picture")[:24]]
    sent = form.cleaned_data.get("pictures") or []
    new = [storing.keep(one, by=request.user) for one in sent]
    return [*Picture.objects.filter(pk__in=keys), *new]


@member_required
@require_POST
def outcome_take_back(request: MemberRequest, pk: int) -> HttpResponse:
    """The workshop that shared it takes it back."""
    shown = get_object_or_404(Outcome.objects.shown(), pk=pk, workshop=request.membership.workshop)
    sharing.take_back(outcome=shown, by=request.membership, at=timezone.now())
    return redirect("outcomes")
