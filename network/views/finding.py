"""The landing page: find a qualified workshop; a workshop's public page; how proof works."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from network import finding, map, places
from network.forms import FindForm
from network.models import Place, Workshop
from network.showing import Shown, lines_for, shown
from network.work import Work


@require_safe
def find(request: HttpRequest) -> HttpResponse:
    """Ask for the work, postcode and radius; answer with the nearest proved workshops."""
    asked = any(name in request.GET for name in ("place", "work"))
    form = FindForm(request.GET if asked else None)
    context: dict[str, Any] = {"form": form}
    status = 200
    if asked and form.is_valid():
        place = places.find_place(form.cleaned_data["country"], form.cleaned_data["place"])
        if place is None:
            context["near_matches"] = places.near_matches(form.cleaned_data["country"], form.cleaned_data["place"])
            form.add_error("place", _("Nobody here knows this postcode or place. Check the country and the code."))
            status = 404
        else:
            context |= _results(place, form.cleaned_data["work"], form.cleaned_data["radius_km"])
    elif asked:
        status = 422
    return render(request, "network/find.html", context, status=status)


def _results(place: Place, wanted: str, radius_km: int) -> dict[str, Any]:
    codes = [wanted] if wanted else []
    near = finding.find_near(
        latitude=place.latitude, longitude=place.longitude, radius_km=radius_km, work_codes=codes, limit=50
    )
    results, beyond = shown(near.results, codes), shown(near.beyond, codes)
    left_out = finding.approved_within(place.latitude, place.longitude, radius_km) - len(near.results)
    return {
        "place": place,
        "wanted": Work(wanted).label if wanted else "",
        "wanted_code": wanted,
        "radius_km": radius_km,
        "results": results,
        "beyond": beyond,
        "left_out": max(left_out, 0),
        "chart": _map(place, radius_km, results or beyond, inside=bool(results)),
    }


def _map(place: Place, radius_km: int, results: list[Shown], *, inside: bool) -> map.Map:
    flags = [
        map.Workshop(
            number=one.number,
            latitude=one.found.workshop.latitude,
            longitude=one.found.workshop.longitude,
            inside=inside,
        )
        for one in results
    ]
    # Names to go by are the towns of the results themselves, each once.
    towns = {one.found.workshop.town: one.found.workshop for one in results}
    return map.build(
        title=_("Where they are"),
        place=str(place),
        latitude=place.latitude,
        longitude=place.longitude,
        radius_km=radius_km,
        workshops=flags,
        towns=[map.Town(name=n, latitude=w.latitude, longitude=w.longitude) for n, w in towns.items()],
    )


@require_safe
def workshop(request: HttpRequest, pk: int) -> HttpResponse:
    """An approved workshop with every valid proof of its people."""
    shown_one = get_object_or_404(Workshop.objects.public().select_related("region"), pk=pk)
    proofs = lines_for(finding.proofs_of([shown_one.pk]).get(shown_one.pk, []), [])
    return render(request, "network/workshop.html", {"workshop": shown_one, "proofs": proofs})


@require_safe
def proof(request: HttpRequest) -> HttpResponse:
    """How the network proves a qualification."""
    return render(request, "network/proof.html")
