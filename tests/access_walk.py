"""Walk the table of `tests/access_matrix.py`: read its rows, ask as each kind of person, undo what that did."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from http.cookies import SimpleCookie
from typing import Any, NamedTuple

from django.db import transaction
from django.http import HttpResponse
from django.test import Client
from django.urls import URLPattern, get_resolver, reverse

from tests.access_matrix import ROLES, ROWS
from tests.access_scene import Scene
from tests.cast import PASSWORD

CSRF_TOKEN = re.compile(rb'("csrfmiddlewaretoken" value="|"X-CSRFToken": ")[^"]+')
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
        self.client = Client()  # one for all, with the cookies of whoever asks: making one reads every static file
        self.cookies = {role: self._sign_in(role) for role in ROLES}

    def _sign_in(self, role: str) -> SimpleCookie:
        self.client.cookies = SimpleCookie()
        person = self.scene.people()[role]
        if person is not None:
            self.client.force_login(person)
            # Pages of accounts ask for the password again unless it was typed within minutes.
            self.client.post(reverse("account_reauthenticate"), {"password": PASSWORD})
        if role == "owner":
            self.client.get(reverse("enquiry_private", kwargs=self.scene.objects["link_of_a"]))
        return self.client.cookies

    def ask(
        self, role: str, name: str, method: str, thing: str = "-", sent: str = "-", *, then: Callable[[], Any] = int
    ) -> HttpResponse:
        """What the portal answers. An error of the portal's is raised; `then` is called before all is undone."""
        self.client.cookies = SimpleCookie(self.cookies[role].output(header="", sep=";"))
        url = reverse(name, kwargs=self.scene.objects[thing])
        with transaction.atomic():
            response = getattr(self.client, method.lower())(url, self.scene.payloads[sent] or None)
            then()
            transaction.set_rollback(True)
        return response


def said(response: HttpResponse) -> str:
    """The answer as the table writes it."""
    to_sign_in = response.status_code == 302 and response["Location"].startswith(reverse("account_login"))
    return "in" if to_sign_in else str(response.status_code)


def shown(response: HttpResponse) -> tuple[Any, ...]:
    """Everything that a person could compare two answers by: status, headers, body; without what is new each time."""
    headers = {name: value for name, value in response.headers.items() if name != "X-Request-ID"}
    return response.status_code, tuple(sorted(headers.items())), CSRF_TOKEN.sub(rb"\1", response.content)
