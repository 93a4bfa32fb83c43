"""Ways to mend one car's failure, side by side; what is typed stands in the address, nothing is stored."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_safe

from jobs import choosing
from jobs.models import Job
from network.access import MemberRequest, member_required
from network.form_fields import CommaField, WholeField
from parts.ways import compare_ways

KEPT = "cost_per_day"  # in the session: the workshop's own figure, typed once


def _money(label: Any, **more: Any) -> CommaField:
    return CommaField(label=label, min_value=0, max_value=1_000_000, max_digits=10, decimal_places=2, **more)


class WaysForm(forms.Form):
    """Two fields a way, and what a day costs. A way without a cost is left out."""

    cost_per_day = _money(gettext_lazy("A day off the road costs you or your customer"))
    labour = _money(gettext_lazy("Own work, whichever way"), required=False)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for kind in choosing.KINDS:
            self.fields[f"{kind.code}_landed"] = _money(_("Cost, landed"), required=False)
            self.fields[f"{kind.code}_days"] = WholeField(
                label=_("Days off the road"), min_value=0, max_value=1000, required=False
            )

    def ways(self) -> list[tuple[choosing.Kind, Any, Any]]:
        """Each kind of way with its two fields."""
        return [(kind, self[f"{kind.code}_landed"], self[f"{kind.code}_days"]) for kind in choosing.KINDS]


@member_required
@require_safe
def job_ways(request: MemberRequest, pk: int) -> HttpResponse:
    """Each way with landed cost, days off the road, the chance of a comeback, and the expected total."""
    rows = Job.objects.select_related("vehicle__family", "part_request")
    job = get_object_or_404(rows, pk=pk)
    offers = choosing.offered(job, request.membership.workshop)
    first: dict[str, Any] = {"cost_per_day": request.session.get(KEPT)}
    for code, offer in offers.items():
        first |= {f"{code}_landed": offer["landed"], f"{code}_days": offer["days"]}
    asked = "cost_per_day" in request.GET
    form = WaysForm(request.GET if asked else None, initial=first)
    context: dict[str, Any] = {
        "job": job,
        "form": form,
        "offers": offers,
        "currency": request.membership.workshop.currency,
    }
    if not asked or not form.is_valid():
        return render(request, "jobs/ways.html", context, status=422 if form.errors else 200)
    typed = form.cleaned_data
    request.session[KEPT] = str(typed["cost_per_day"])
    ways = list(choosing.ways_of(job, typed))
    if ways:
        told = compare_ways(ways=[way for way, _whose in ways], cost_per_day=Decimal(typed["cost_per_day"]))
        whose = {way.kind: words for way, words in ways}
        context |= {"told": told, "rows": [(row, whose[row.way.kind]) for row in told.rows]}
    return render(request, "jobs/ways.html", context)
