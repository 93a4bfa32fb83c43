"""What a refused form says."""

from __future__ import annotations

import pytest
from django.test import Client

pytestmark = pytest.mark.django_db


def test_a_form_without_its_token_is_refused_with_what_to_do() -> None:
    page = Client(enforce_csrf_checks=True).post("/account/login/", {"login": "a@b.example", "password": "x"})
    assert page.status_code == 403
    assert "go back, load the page again and send it once more" in page.content.decode()
