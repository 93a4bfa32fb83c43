"""What a refused form says."""

from __future__ import annotations

import pytest
from django.test import Client

from tests.cast import make_person

pytestmark = pytest.mark.django_db


def test_a_form_without_its_token_is_refused_with_what_to_do() -> None:
    page = Client(enforce_csrf_checks=True).post("/account/login/", {"login": "a@b.example", "password": "x"})
    assert page.status_code == 403
    assert "go back, load the page again and send it once more" in page.content.decode()


def test_an_address_for_programs_that_is_none_is_told_in_json_and_a_page_as_a_page() -> None:
    """RFC 9457: a program gets problem details, also where no view was reached."""
    told = Client().get("/api/v1/sheets/zz")
    assert (told.status_code, told["Content-Type"]) == (404, "application/problem+json")
    assert Client().get("/sheets/zz/")["Content-Type"].startswith("text/html")


def test_a_fault_of_ours_is_told_to_a_program_in_json(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("network.api.places.place_of_postcode", lambda *given: 1 / 0)
    told = Client(raise_request_exception=False).get("/api/v1/workshops/near?country=BE&postcode=4020")
    assert (told.status_code, told["Content-Type"]) == (500, "application/problem+json")
    assert "ZeroDivision" not in told.content.decode()


def test_the_address_of_a_form_that_is_opened_says_what_to_do() -> None:
    """RFC 9110, 15.5.6: the answer names the methods that are allowed."""
    somebody = Client()
    somebody.force_login(make_person())
    told = somebody.get("/notices/choose/")
    assert told.status_code == 405 and told["Allow"] == "POST"
    assert "Go back to the page with the form" in told.content.decode()
