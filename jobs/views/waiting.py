"""The page a technician opens in the morning, the list of jobs, and what carries it away."""

from __future__ import annotations

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from jobs import listing
from jobs.models import Enquiry, FollowUp, Job
from jobs.waiting import of_follow_up
from jobs.waiting import waiting as what_waits
from network.access import MemberRequest, member_required
from network.asked import words_to_find


@member_required
@require_safe
def waiting(request: MemberRequest) -> HttpResponse:
    """What waits for us: one list, the next thing to do first."""
    kinds = what_waits(request.membership)
    items = [item for kind in kinds for item in kind.items]
    first = next((item for item in items if item.pressing), items[0] if items else None)
    context = {"kinds": kinds, "next": first, "count": sum(kind.count for kind in kinds)}
    return render(request, "jobs/waiting.html", context)


@member_required
@require_safe
def jobs(request: MemberRequest) -> HttpResponse:
    """The workshop's own jobs: found by number, registration, VIN, customer, code or part number; sorted, filtered."""
    wanted = words_to_find(request)
    chosen = {"show": request.GET.get("show", ""), "by": request.GET.get("by", "")}
    context = {
        "wanted": wanted,
        "page": Paginator(listing.listed(words=wanted, **chosen), 25).get_page(request.GET.get("page")),
        "shown": listing.SHOWN,
        "sorted": {code: label for code, (label, _order) in listing.SORTED.items()},
        "enquiries": Enquiry.objects.open()[:25],
        "waiting": Enquiry.objects.filter(state=Enquiry.State.SENT).count(),
        "open_count": Job.objects.on_the_bench().count(),
    }
    return render(request, "jobs/jobs.html", context | chosen)


@member_required
@require_safe
def jobs_csv(request: MemberRequest) -> HttpResponse:
    """The jobs of the list, as a table for a spreadsheet."""
    rows = listing.listed(
        words=words_to_find(request), show=request.GET.get("show", ""), by=request.GET.get("by", "")
    ).prefetch_related("codes")
    answer = HttpResponse(listing.as_csv(rows[:20_000]), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="jobs-{timezone.localdate():%Y-%m-%d}.csv"'
    return answer


@member_required
@require_safe
def follow_ups(request: MemberRequest) -> HttpResponse:
    """Every repair that the workshop was asked about and hasn't answered."""
    rows = FollowUp.objects.waiting().select_related("repair__outcome").order_by("asked_at", "pk")
    page = Paginator(rows, 25).get_page(request.GET.get("page"))
    return render(request, "jobs/follow_ups.html", {"page": page, "items": [of_follow_up(one) for one in page]})
