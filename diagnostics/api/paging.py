"""Lists in pages: `?page=2&per_page=50`, with the way to the page before and after."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from drf_spectacular.utils import OpenApiParameter, OpenApiResponse, inline_serializer
from rest_framework import serializers
from rest_framework.pagination import PageNumberPagination
from rest_framework.request import Request
from rest_framework.response import Response

from network.api import Problem

PAGES = [
    OpenApiParameter("page", {"type": "integer", "minimum": 1}, description="From 1; a page that isn't there is 404."),
    OpenApiParameter("per_page", {"type": "integer", "minimum": 1, "maximum": 100}, description="25, unless asked."),
]


class Pages(PageNumberPagination):
    page_size = 25
    page_size_query_param = "per_page"
    max_page_size = 100


def paged(request: Request, rows: Any, shown: Callable[[Any], Any]) -> Response:
    pages = Pages()
    listed: list[Any] = pages.paginate_queryset(rows, request) or []
    return pages.get_paginated_response([shown(row) for row in listed])


def page_of(shape: type[serializers.BaseSerializer[Any]]) -> Any:
    return inline_serializer(
        f"{shape.__name__.removesuffix('Shape')}Page",
        {
            "count": serializers.IntegerField(),
            "next": serializers.URLField(allow_null=True),
            "previous": serializers.URLField(allow_null=True),
            "results": shape(many=True),
        },
    )


def problems(**why: str) -> dict[Any, Any]:
    """Responses of the description: 401 and 429 for every address, and those named (`_404="..."`)."""
    named = {"_401": "no token, or one that is unknown or revoked", "_429": "too many requests; Retry-After says when"}
    return {
        (int(code.lstrip("_")), "application/problem+json"): OpenApiResponse(Problem, description=words)
        for code, words in (named | why).items()
    }
