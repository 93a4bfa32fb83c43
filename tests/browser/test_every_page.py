"""Every page of the table of access, seen on a phone: axe finds nothing, nothing sticks out, no script fails.

Outside source: axe-core's rules, of WCAG 2.2 A and AA and its best practices. The suite looks at one page in PART_OF;
`make pages` looks at all of them, light and dark.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any
from urllib.parse import urlencode

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.test import Client
from django.urls import reverse

from tests.access_matrix import ROWS
from tests.access_scene import Scene, build
from tests.access_walk import rows_of

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

WHO = ("visitor", "technician", "manager", "administrator", "applicant", "member_of_b")
PART_OF = 1 if os.environ.get("EVERY_PAGE") else 6
SCHEMES = ("light", "dark") if os.environ.get("EVERY_PAGE") else ("light",)
# The library's pages for a device that the browser would ask for, and the description of the interface for programs.
ELSEWHERE = {"docs", "schema"}


def addresses(scene: Scene) -> list[tuple[str, str]]:
    """Who sees it, and its address: the first row of each page that is answered with 200."""
    found = []
    for name in ROWS:
        shown = (
            (role, row)
            for row in rows_of(name)
            for role in WHO
            if row.method == "GET" and row.answers[role] == "200" and name not in ELSEWHERE
        )
        role, row = next(shown, (None, None))
        if role is None or row is None:
            continue
        asked = urlencode(scene.payloads[row.payload] or {}, doseq=True)
        found.append((role, reverse(name, kwargs=scene.objects[row.object]) + (f"?{asked}" if asked else "")))
    return found


def problems_of(page: Any, url: str, width: int) -> list[str]:
    """What is wrong with the page that stands open."""
    found = [f"{url}: {one['id']} at {one['nodes'][0]['html'][:100]}" for one in Axe().run(page).response["violations"]]
    if page.evaluate("document.documentElement.scrollWidth") > width:
        found.append(f"{url}: wider than the phone")
    if page.locator("h1").count() != 1:
        found.append(f"{url}: {page.locator('h1').count()} headings of the first rank")
    return found


def test_axe_finds_nothing_on_a_phone(page_of: Callable[..., Any]) -> None:
    scene = build()
    people = scene.people()
    looked, wrong = 0, []
    pages = {role: page_of(people[role]) for role in WHO}
    for page in pages.values():
        page.on("pageerror", lambda error: wrong.append(f"a script failed: {error}"))
    clients = {role: _client_of(people[role]) for role in WHO}
    for number, (role, url) in enumerate(addresses(scene)):
        if number % PART_OF or "text/html" not in clients[role].get(url).headers.get("Content-Type", ""):
            continue
        looked += 1
        for scheme in SCHEMES:
            pages[role].emulate_media(color_scheme=scheme)
            pages[role].goto(url)
            wrong += problems_of(pages[role], f"{role} {scheme} {url}", 360)
    assert not wrong, "\n".join(wrong)
    assert looked >= 120 / PART_OF, f"only {looked} pages"


def _client_of(person: Any) -> Client:
    client = Client()
    if person is not None:
        client.force_login(person)
    return client
