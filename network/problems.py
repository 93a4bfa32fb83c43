"""Errors of the API as problem details (RFC 9457), application/problem+json."""

import math
from http import HTTPStatus
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse, JsonResponse
from rest_framework import exceptions


def problem(status: int, detail: str, **more: Any) -> HttpResponse:
    """A problem document with its status, title and a sentence that helps."""
    body = {"type": "about:blank", "title": HTTPStatus(status).phrase, "status": status, "detail": detail, **more}
    return JsonResponse(body, status=status, content_type="application/problem+json")


def as_problem(error: Exception, context: dict[str, Any]) -> HttpResponse | None:
    """REST framework's exception handler: every expected error becomes a problem, the unexpected stay errors."""
    if isinstance(error, Http404):
        return problem(404, str(error) or "Not found.")
    if isinstance(error, PermissionDenied):
        return problem(403, str(error) or "Not allowed.")
    if isinstance(error, exceptions.ValidationError):
        return problem(400, "The request has errors.", errors=error.detail)
    if isinstance(error, exceptions.APIException):
        answer = problem(error.status_code, str(error.detail))
        # What RFC 9110 asks beside the status: how to sign in (401), when to come again (429).
        if header := getattr(error, "auth_header", None):
            answer["WWW-Authenticate"] = header
        if wait := getattr(error, "wait", None):
            answer["Retry-After"] = str(math.ceil(wait))
        return answer
    return None
