"""Errors of the API as problem details (RFC 9457), application/problem+json."""

import math
from http import HTTPStatus
from typing import Any

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse, JsonResponse
from django.utils.translation import gettext as _
from rest_framework import exceptions

MISSING = ("required", "blank", "null")  # REST framework's codes for it


def problem(status: int, detail: str, **more: Any) -> HttpResponse:
    """A problem document with its status, title and a sentence that helps."""
    body = {"type": "about:blank", "title": HTTPStatus(status).phrase, "status": status, "detail": detail, **more}
    return JsonResponse(body, status=status, content_type="application/problem+json")


def told(errors: Any) -> Any:
    """The sentences by field, those on a missing one naming it and saying what to do."""
    if not isinstance(errors, dict):
        return errors
    lacking = _("“%(name)s” is missing or empty. Send it with a value.")
    return {
        name: [lacking % {"name": name} if getattr(one, "code", "") in MISSING else one for one in sentences]
        if isinstance(sentences, list)
        else sentences
        for name, sentences in errors.items()
    }


def as_problem(error: Exception, context: dict[str, Any]) -> HttpResponse | None:
    """REST framework's exception handler: every expected error becomes a problem, the unexpected stay errors."""
    if isinstance(error, Http404):
        return problem(404, str(error) or "Not found.")
    if isinstance(error, PermissionDenied):
        return problem(403, str(error) or "Not allowed.")
    if isinstance(error, exceptions.ValidationError):
        return problem(400, "The request has errors.", errors=told(error.detail))
    if isinstance(error, exceptions.APIException):
        answer = problem(error.status_code, str(error.detail))
        # What RFC 9110 asks beside the status: how to sign in (401), when to come again (429).
        if header := getattr(error, "auth_header", None):
            answer["WWW-Authenticate"] = header
        if wait := getattr(error, "wait", None):
            answer["Retry-After"] = str(math.ceil(wait))
        return answer
    return None
