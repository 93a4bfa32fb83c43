"""Judging shared outcomes: a member confirms or contradicts another's, an administrator takes one down."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from jobs import opinions
from jobs.models import Opinion, Outcome
from jobs.outcome_forms import OpinionForm, TakeDownForm
from jobs.sharing import TellsTooMuch
from jobs.views.outcomes import counted
from network.access import MemberRequest, SignedInRequest, administrator_required, member_required
from network.asked import words_to_find


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def outcome_opinion(request: MemberRequest, pk: int) -> HttpResponse:
    """Confirm another workshop's outcome, or contradict it, from repairs of one's own."""
    shown = get_object_or_404(Outcome.objects.shown().select_related("family", "workshop"), pk=pk)
    ours = Opinion.objects.filter(outcome=shown, workshop=request.membership.workshop).first()
    first = {"words": ours.words, "confirms": "yes" if ours.confirms else "no"} if ours else {}
    form = OpinionForm(request.POST if request.method == "POST" else None, initial=first)
    status = 422 if form.errors else 200
    if request.method == "POST" and form.is_valid():
        try:
            opinions.give(outcome=shown, by=request.membership, **form.cleaned_data)
        except opinions.NotByItself:
            form.add_error(None, _("Another workshop has to confirm it; this outcome is your own."))
            status = 409
        except TellsTooMuch as private:
            form.add_error("words", str(private))
            status = 422
        else:
            return redirect("outcome", pk=pk)
    return render(request, "jobs/outcome_opinion.html", {"outcome": shown, "form": form}, status=status)


@administrator_required
@require_safe
def outcomes_to_judge(request: SignedInRequest) -> HttpResponse:
    """Every outcome that members see, those that are contradicted first."""
    wanted = words_to_find(request)
    rows = Outcome.objects.shown()
    if wanted:
        rows = rows.filter(pk__in=Outcome.objects.about(wanted).values("pk"))
    listed = counted(rows).select_related("family", "workshop").order_by("-contradicted", "-shared_at", "-pk")
    context = {
        "wanted": wanted,
        "page": Paginator(listed, 25).get_page(request.GET.get("page")),
        "contradicted": Outcome.objects.shown().filter(opinions__confirms=False).distinct().count(),
    }
    return render(request, "jobs/outcomes_to_judge.html", context)


@administrator_required
@require_http_methods(["GET", "HEAD", "POST"])
def outcome_take_down(request: SignedInRequest, pk: int) -> HttpResponse:
    """Read one outcome as members see it, and take it down with a reason."""
    shown = get_object_or_404(counted(Outcome.objects.shown()).select_related("family", "workshop"), pk=pk)
    form = TakeDownForm(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        opinions.take_down(outcome=shown, by=request.user, reason=form.cleaned_data["reason"])
        messages.success(request, _("Members no longer see it; its workshop is told why."))
        return redirect("outcomes_to_judge")
    context = {"outcome": shown, "form": form, "opinions": shown.opinions.select_related("workshop", "said_by")}
    return render(request, "jobs/outcome_take_down.html", context, status=422 if form.errors else 200)
