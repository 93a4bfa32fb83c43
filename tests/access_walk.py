"""Walk the table of `tests/access_matrix.py`: read its rows, ask as each kind of person, undo what that did."""

from __future__ import annotations

import re
from collections.abc import Iterator
from http.cookies import SimpleCookie
from typing import Any, NamedTuple

from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import URLPattern, get_resolver, reverse

from tests.access_matrix import ROLES, ROWS
from tests.access_scene import Scene
from tests.cast import PASSWORD

CSRF_TOKEN = re.compile(rb'(name="csrfmiddlewaretoken" value=")[^"]+')
LIBRARYS = ("account_", "mfa_", "usersessions_")  # names of allauth


class Row(NamedTuple):
    method: str
    object: str
    payload: str
    answers: dict[str, str]  # by role

    def __str__(self) -> str:
        return f"{self.method} {self.object} {self.payload}"


def rows_of(name: str) -> list[Row]:
    """The rows of one URL name."""
    lines = [line.split() for line in ROWS[name].strip().splitlines()]
    return [Row(method, thing, sent, dict(zip(ROLES, told, strict=True))) for method, thing, sent, *told in lines]


def patterns(within: Any = None) -> Iterator[URLPattern]:
    """Every pattern of the portal, those of included modules too."""
    for pattern in within or get_resolver().url_patterns:
        if isinstance(pattern, URLPattern):
            yield pattern
        else:
            yield from patterns(pattern.url_patterns)


class Walker:
    """Asks as somebody. Each person signs in once; whatever a request writes is rolled back after it."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.cookies = {role: self._sign_in(role) for role in ROLES}

    def _sign_in(self, role: str) -> SimpleCookie:
        client = Client()
        person = self.scene.people()[role]
        if person is not None:
            client.force_login(person)
            # Pages of accounts ask for the password again unless it was typed within minutes.
            client.post(reverse("account_reauthenticate"), {"password": PASSWORD})
        if role == "owner":
            client.get(reverse("enquiry_private", kwargs=self.scene.objects["link_of_a"]))
        return client.cookies

    def ask(self, role: str, name: str, method: str, thing: str = "-", sent: str = "-") -> HttpResponse:
        """What the portal answers. An error of the portal's is raised, as the test client does."""
        client = Client()
        client.cookies = SimpleCookie(self.cookies[role].output(header="", sep=";"))
        url = reverse(name, kwargs=self.scene.objects[thing])
        with transaction.atomic():
            response = getattr(client, method.lower())(url, self.scene.payloads[sent] or None)
            transaction.set_rollback(True)
        return response


def said(response: HttpResponse) -> str:
    """The answer as the table writes it."""
    to_sign_in = response.status_code == 302 and response["Location"].startswith(reverse("account_login"))
    return "in" if to_sign_in else str(response.status_code)


def shown(response: HttpResponse) -> tuple[int, bytes]:
    """Status and body, without the tokens of forms, which differ at each request."""
    plain = re.sub(rb'"X-CSRFToken": "[^"]+"', b"", response.content)
    return response.status_code, CSRF_TOKEN.sub(rb"\1", plain)
