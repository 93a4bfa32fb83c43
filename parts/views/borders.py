"""The network's rates at borders of customs: entered by administrators, each with its date and source."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from network.access import SignedInRequest, administrator_required
from parts import exchange
from parts.border_forms import BorderRateForm
from parts.models import BorderRate


@administrator_required
@require_http_methods(["GET", "HEAD", "POST"])
def border_rates(request: SignedInRequest) -> HttpResponse:
    """What is in force and what was; a form for the next one. Nothing is changed or deleted."""
    form = BorderRateForm(request.POST if request.method == "POST" else None, initial={"currency": "EUR"})
    if request.method == "POST" and form.is_valid():
        entered = form.save(commit=False).enter(by=request.user)
        messages.success(request, _("Kept. It counts from %(day)s on.") % {"day": entered.valid_from})
        return redirect("border_rates")
    today = timezone.localdate()
    rates = BorderRate.objects.select_related("entered_by")
    page = Paginator(rates, 50).get_page(request.GET.get("page"))
    for rate in page:
        known = rates.between(rate.from_country, rate.into_country, today) if rate.valid_from <= today else None
        rate.in_force = known is not None and known.pk == rate.pk  # type: ignore[attr-defined]
    try:
        newest = exchange.newest_day()
    except exchange.BadRates:
        newest = None
    days_old = (today - newest).days if newest else 0
    context = {
        "form": form, "page": page, "newest": newest, "today": today,
        "days_old": days_old if days_old > exchange.FRESH_DAYS else 0,
    }  # fmt: skip
    return render(request, "parts/border_rates.html", context, status=422 if form.errors else 200)
