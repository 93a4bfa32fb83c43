"""The public JSON for finding a workshop. Errors are problem details (RFC 9457)."""

from __future__ import annotations

import math
import re
from typing import Any

from django.utils.translation import gettext_lazy as _
from drf_spectacular.utils import OpenApiParameter, OpenApiResponse, extend_schema
from rest_framework import serializers
from rest_framework.decorators import api_view
from rest_framework.request import Request
from rest_framework.response import Response

from network import finding, places
from network.models import Place
from network.problems import problem, told
from network.work import Work

COUNTRY = re.compile(r"\A[A-Z]{2}\Z")


class NearQuery(serializers.Serializer[Any]):
    """The parameters of the search, each cleaned or refused with a sentence."""

    country = serializers.RegexField(COUNTRY, help_text="ISO 3166-1 alpha-2, for instance BE")
    postcode = serializers.CharField(max_length=20)
    radius_km = serializers.FloatField(min_value=1, max_value=500, default=50.0)
    work = serializers.ListField(child=serializers.ChoiceField(choices=Work.choices), default=list)
    limit = serializers.IntegerField(min_value=1, max_value=100, default=20)

    def validate_radius_km(self, given: float) -> float:
        """Not a number is neither below nor above a limit."""
        if not math.isfinite(given):
            raise serializers.ValidationError(_("A radius is a number of kilometres."))
        return given


class PlaceAnswer(serializers.ModelSerializer[Place]):
    class Meta:
        model = Place
        fields = ["country", "postcode", "name", "latitude", "longitude", "precision"]


class FoundAnswer(serializers.Serializer[finding.Found]):
    id = serializers.IntegerField(source="workshop.pk")
    name = serializers.CharField(source="workshop.name")
    town = serializers.CharField(source="workshop.town")
    latitude = serializers.FloatField(source="workshop.latitude")
    longitude = serializers.FloatField(source="workshop.longitude")
    distance_km = serializers.SerializerMethodField()
    work = serializers.ListField(child=serializers.ChoiceField(choices=Work.choices))

    def get_distance_km(self, found: finding.Found) -> float:
        return round(found.distance_km, 1)


class NearAnswer(serializers.Serializer[Any]):
    place = PlaceAnswer()
    results = FoundAnswer(many=True)
    beyond = FoundAnswer(many=True)


class Problem(serializers.Serializer[Any]):
    """Problem details, RFC 9457."""

    type = serializers.CharField()
    title = serializers.CharField()
    status = serializers.IntegerField()
    detail = serializers.CharField()


@extend_schema(
    operation_id="workshops_near",
    summary="Approved workshops qualified for the work, nearest first",
    parameters=[
        OpenApiParameter("country", str, required=True, description="ISO 3166-1 alpha-2, for instance BE"),
        OpenApiParameter("postcode", str, required=True),
        OpenApiParameter("radius_km", float, description="1 to 500, default 50"),
        OpenApiParameter("work", str, many=True, enum=Work.values, description="repeated: all must be covered"),
        OpenApiParameter("limit", int, description="1 to 100, default 20"),
    ],
    responses={
        200: NearAnswer,
        (400, "application/problem+json"): OpenApiResponse(Problem, description="a value that can't be"),
        (404, "application/problem+json"): OpenApiResponse(Problem, description="a postcode that nobody knows"),
    },
    auth=[],
)
@api_view(["GET", "HEAD"])
def near(request: Request) -> Response | Any:
    """Workshops near a postcode; `beyond` holds up to three only when nothing lies in the radius."""
    twice = [name for name, given in request.query_params.lists() if name != "work" and len(given) > 1]
    if twice:
        return problem(400, str(_("Given more than once: %(names)s.") % {"names": ", ".join(sorted(twice))[:200]}))
    query = NearQuery(data=_given(request))
    if not query.is_valid():
        errors = told(query.errors)
        named = "; ".join(f"{name}: {_sentence(error)}" for name, error in errors.items())
        return problem(400, named, errors=errors)
    asked = query.validated_data
    place = places.place_of_postcode(asked["country"], asked["postcode"])
    if place is None:
        return problem(404, str(_("Nobody here knows this postcode. Check the country and the code.")))
    found = finding.find_near(
        latitude=place.latitude,
        longitude=place.longitude,
        radius_km=asked["radius_km"],
        work_codes=asked["work"],
        limit=asked["limit"],
    )
    answer = {"place": place, "results": found.results, "beyond": found.beyond}
    return Response(NearAnswer(answer).data)


def _given(request: Request) -> dict[str, Any]:
    """The parameters as given, `work` as a list."""
    given: dict[str, Any] = {name: request.query_params[name] for name in request.query_params if name != "work"}
    if "work" in request.query_params:
        given["work"] = request.query_params.getlist("work")
    if "country" in given:
        given["country"] = given["country"].upper()
    return given


def _sentence(error: Any) -> str:
    while isinstance(error, dict | list) and error:
        error = next(iter(error.values())) if isinstance(error, dict) else error[0]
    return str(error)
