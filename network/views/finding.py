"""The landing page: find a qualified workshop; a workshop's public page; how proof works."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from network import finding, map, places, work
from network.forms import COUNTRIES, FindForm
from network.models import Place, Workshop
from network.showing import Shown, lines_for, shown, spelt

MOST = 50  # workshops on one page


@require_safe
def find(request: HttpRequest) -> HttpResponse:
    """Ask for the work, postcode and radius; answer with the nearest proved workshops."""
    asked = any(name in request.GET for name in ("place", "work"))
    typed = request.GET.copy()
    typed.setdefault("radius_km", str(FindForm.base_fields["radius_km"].initial))  # a link may name the place only
    form = FindForm(typed if asked else None)
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
    here, names = (place.latitude, place.longitude), {code: str(name) for code, name in COUNTRIES}
    near = finding.find_near(latitude=here[0], longitude=here[1], radius_km=radius_km, work_codes=codes, limit=MOST)
    results = shown(near.results, codes, country=place.country, countries=names)
    # Where the circle holds some, the nearest one beyond it is only named beside the map.
    farther = near.beyond or finding.nearest_beyond(here, radius_km, work.to_bits(codes), most=1)
    beyond = shown(farther, codes, country=place.country, countries=names, first=len(results) + 1)
    held = finding.approved_within(place.latitude, place.longitude, radius_km)
    left_out = 0 if len(results) == MOST else held - len(results)
    return {
        "place": place,
        "wanted": work.PHRASES[work.Work(wanted)] if wanted else "",
        "wanted_code": wanted,
        "radius_km": radius_km,
        "results": results,
        "more": max(len(results) - 1, 0),
        "more_spelt": spelt(len(results) - 1),
        "beyond": beyond,
        "left_out": left_out,
        "left_out_spelt": spelt(left_out),
        "chart": _map(place, radius_km, results, beyond),
    }


def _map(place: Place, radius_km: int, results: list[Shown], beyond: list[Shown]) -> map.Map:
    flags = [
        map.Workshop(
            number=one.number,
            latitude=one.found.workshop.latitude,
            longitude=one.found.workshop.longitude,
            inside=one in results,
        )
        for one in [*results, *beyond]
    ]
    # Where the circle is empty, the map reaches as far as the nearest one beyond it.
    reach = float(radius_km) if results or not beyond else 1.15 * beyond[0].found.distance_km
    towns = _apart(places.towns_around(place.latitude, place.longitude, 2 * reach), 0.4 * reach)
    return map.build(
        title=_("Where they are"),
        place=str(place),
        latitude=place.latitude,
        longitude=place.longitude,
        radius_km=radius_km,
        reach_km=reach,
        workshops=flags,
        towns=[map.Town(name=t.name, latitude=t.latitude, longitude=t.longitude) for t in towns],
    )


def _apart(towns: list[Place], km: float) -> list[Place]:
    """The larger towns, none nearer to a larger one than this, so that names stand all over the map."""
    kept: list[Place] = []
    for town in towns:
        if all(finding.kilometres_between(town, other) >= km for other in kept):
            kept.append(town)
    return kept[:40]


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
