"""What lasted: curves of how long repairs ran, by way of repair, part number or system family."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from jobs import lasting
from jobs.models import Outcome
from network.access import MemberRequest, member_required
from network.asked import words_to_find

COMPARED = {
    "method": gettext_lazy("ways of repair"),
    "part": gettext_lazy("part numbers"),
    "family": gettext_lazy("system families"),
}


@member_required
@require_safe
def outcomes_lasting(request: MemberRequest) -> HttpResponse:
    """Curves with their intervals and numbers at risk; too few repairs are said to be too few, and nothing else."""
    wanted = words_to_find(request)
    by = request.GET.get("by", "")
    by = by if by in COMPARED else "method"
    related = request.GET.get("failed") == "related"
    rows = Outcome.objects.shown()
    if wanted:
        # By key: the words join codes and parts, which must not count a repair twice.
        rows = rows.filter(pk__in=Outcome.objects.about(wanted).values("pk"))
    told = lasting.groups(rows, by=by, related=related)
    large = [group for group in told if not group.too_few]
    context = {
        "wanted": wanted,
        "by": by,
        "ways": COMPARED,
        "related": related,
        "groups": told,
        "large": large,
        "answered": [(group, at) for group in large[:2] if (at := group.at(lasting.HORIZON))],
        "repairs": rows.count(),
        "workshops": rows.order_by().values("workshop").distinct().count(),
        "chart": lasting.drawn(told, _("Still running, of every 100 repairs")),
        "log_rank": lasting.compared(large[:2]),  # those that are drawn
        "log_rank_of_all": lasting.compared(large) if len(large) > 2 else None,
        "dates": (12, 24),
        "rows": [(group, [group.known_at(month) for month in (12, 24)]) for group in told],
    }
    return render(request, "jobs/outcomes_lasting.html", context)
