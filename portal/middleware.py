"""What is put on every answer: an id of the request, and strict headers."""

import uuid
from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from portal.logs import current_request_id

Next = Callable[[HttpRequest], HttpResponse]


def request_id(get_response: Next) -> Next:
    """Give each request an id of our own making, for the log and for whoever reports a fault."""

    def middleware(request: HttpRequest) -> HttpResponse:
        made = uuid.uuid4().hex
        token = current_request_id.set(made)
        try:
            response = get_response(request)
        finally:
            current_request_id.reset(token)
        response["X-Request-ID"] = made
        return response

    return middleware


def strict_headers(get_response: Next) -> Next:
    """Isolation from other origins everywhere; pages that depend on who asks are not stored."""

    def middleware(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        response.setdefault("Cross-Origin-Resource-Policy", "same-origin")
        response.setdefault("Cross-Origin-Embedder-Policy", "require-corp")
        response.setdefault("Permissions-Policy", "geolocation=(), microphone=(), camera=(self)")
        if not request.path.startswith("/static/"):
            response.setdefault("Cache-Control", "no-store")
        return response

    return middleware


def kept_forms(get_response: Next) -> Next:
    """When a form that the browser keeps a copy of was accepted, let the next page tell it to throw the copy away."""

    def middleware(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        key = request.POST.get("kept", "")[:80] if request.method == "POST" else ""
        if key and response.status_code in (302, 303):
            request.session["kept_clear"] = [*request.session.get("kept_clear", []), key][-5:]
        return response

    return middleware


def told_of_methods(get_response: Next) -> Next:
    """Whoever opens the address of a form (after signing in anew, say) reads what to do, instead of an empty page."""

    def middleware(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        if response.status_code != 405 or response.content or request.method != "GET":
            return response
        page = render(request, "405.html", status=405)
        page["Allow"] = response["Allow"]
        return page

    return middleware
