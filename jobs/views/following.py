"""Following a repair: one button an answer, on the date that is asked or whenever the workshop knows more."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from jobs import following, sharing
from jobs.models import FollowedRepair, FollowUp, Job, Outcome
from jobs.outcome_forms import EarlierForm, StandsForm
from network.access import MemberRequest, member_required

REPAIR = ("outcome__family", "outcome__workshop")


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def follow_up(request: MemberRequest, pk: int) -> HttpResponse:
    """The page a follow-up's mail opens."""
    asked = get_object_or_404(
        FollowUp.objects.select_related("repair__outcome__family").filter(asked_at__isnull=False), pk=pk
    )
    return _stands(request, asked.repair, asked)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def outcome_stands(request: MemberRequest, pk: int) -> HttpResponse:
    """Say how a repair of one's own stands, without being asked."""
    return _stands(request, get_object_or_404(FollowedRepair.objects.select_related(*REPAIR), outcome=pk), None)


def _stands(request: MemberRequest, repair: FollowedRepair, asked: FollowUp | None) -> HttpResponse:
    form = StandsForm(request.POST if request.method == "POST" else None)
    status = 422 if form.errors else 200
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data | {"by": request.membership}
        try:
            if asked:
                following.answer(follow_up=asked, **typed)
            else:
                following.say(repair=repair, **typed)
        except following.CannotBeSaid as why:
            form.add_error(None, str(why))
            status = 409
        else:
            messages.success(request, _("Thank you. It counts from now on."))
            return redirect("outcome_stands", pk=repair.outcome_id)
    repair.outcome.refresh_from_db()
    context = {
        "repair": repair,
        "outcome": repair.outcome,
        "asked": asked,
        "job": Job.objects.filter(outcome=repair.outcome_id).select_related("vehicle").first(),
        "form": form,
        "answers": FollowUp.Answer.choices,
        "said": repair.follow_ups.said().select_related("answered_by"),
    }
    return render(request, "jobs/follow_up.html", context, status=status)


@member_required
@require_POST
def follow_up_take_back(request: MemberRequest, pk: int) -> HttpResponse:
    """What was said was wrong."""
    said = get_object_or_404(FollowUp.objects.said().select_related("repair"), pk=pk)
    following.take_back_answer(follow_up=said, by=request.membership)
    return redirect("outcome_stands", pk=said.repair.outcome_id)


@member_required
@require_http_methods(["GET", "HEAD", "POST"])
def outcome_earlier(request: MemberRequest) -> HttpResponse:
    """Share a repair from the workshop's own books, after a preview of what will be seen."""
    form = EarlierForm(request.POST if request.method == "POST" else None)
    if request.method != "POST":
        return render(request, "jobs/outcome_earlier.html", {"form": form})
    if not form.is_valid():
        return render(request, "jobs/outcome_earlier.html", {"form": form}, status=422)
    typed = form.cleaned_data
    if request.POST.get("act") != "share":
        preview = Outcome(**{name: typed[name] for name in ("symptom", "cause", "repair_method", "hours", "family")})
        context = {
            "form": form,
            "preview": preview,
            "codes": typed["codes"],
            "parts": typed["parts"],
            "mileage_band": sharing.mileage_band(typed["odometer_km"]),
            "repaired_on": typed["repaired_on"].replace(day=1),
        }
        return render(request, "jobs/outcome_earlier.html", context)
    shared = sharing.share_earlier(by=request.membership, **typed)
    return redirect("outcome_stands", pk=shared.pk)
