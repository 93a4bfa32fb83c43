"""What a token opens: the rows of its workshop; a foreign row and a missing one are the same 404, read or written.

Outside source: OWASP ASVS 5.0.0, chapter V8 (authorization by row; a refusal doesn't tell what exists).
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
from django.db import transaction
from django.test import Client
from django.urls import reverse

from diagnostics.models import Record, Sheet
from network.access import acting_for
from tests.access_scene import MISSING, WINDINGS, Scene, build
from tests.cast import make_token

pytestmark = pytest.mark.django_db
BODY = {
    "kind": "machine_windings", "state": "bench", "subject": "1", "temperature_c": 24.5,
    **{name: float(value) for name, value in WINDINGS.items() if name.endswith("milliohm")},
}  # fmt: skip
# Address, method, whether it is of a sheet, a record or a copy, what is sent, the answer for the own row.
ASKED = [
    ("api_sheet", "GET", "sheet", None, 200),
    ("api_sheet_verify", "GET", "sheet", None, 200),
    ("api_logs", "GET", "sheet", None, 200),
    ("api_records", "GET", "sheet", None, 200),
    ("api_records", "POST", "sheet", BODY, 201),
    ("api_judgement", "POST", "sheet", BODY, 200),
    ("api_record", "GET", "record", None, 200),
    ("api_correction", "POST", "record", BODY, 201),
]


@pytest.fixture(scope="module")
def scene(django_db_setup: None, django_db_blocker: Any) -> Iterator[Scene]:
    with django_db_blocker.unblock(), transaction.atomic():
        yield build()
        transaction.set_rollback(True)


@pytest.fixture(scope="module")
def token(scene: Scene) -> str:
    return make_token(scene.a.member)[1]


def ask(token: str, method: str, path: str, body: Any = None) -> Any:
    sent = json.dumps(body) if body is not None else ""
    return Client().generic(method, path, sent, "application/json", HTTP_AUTHORIZATION=f"Bearer {token}")


@pytest.mark.parametrize(("name", "method", "of", "body", "status"), ASKED)
def test_own_rows_answer_foreign_and_missing_ones_are_the_same_404(
    scene: Scene, token: str, name: str, method: str, of: str, body: Any, status: int
) -> None:
    own, foreign = (scene.objects[f"{of}_of_{letter}"] for letter in "ab")
    told = [ask(token, method, reverse(name, kwargs=row), body) for row in (own, foreign, {"pk": MISSING})]
    assert [one.status_code for one in told] == [status, 404, 404], told[0].content
    assert told[1].content == told[2].content
    with acting_for(scene.cast.b):
        assert Record.objects.filter(sheet=scene.objects["sheet_of_b"]["pk"]).count() == 1


@pytest.mark.parametrize("letter", ["a", "b"])
def test_a_copy_that_a_member_shows_is_read_by_every_member(scene: Scene, token: str, letter: str) -> None:
    told = ask(token, "GET", reverse("api_shared_sheet", kwargs=scene.objects[f"copy_of_{letter}"]))
    assert told.status_code == 200 and scene.b.member.person.name not in told.content.decode()


def test_a_copy_that_was_taken_back_is_gone(scene: Scene, token: str) -> None:
    assert ask(token, "GET", reverse("api_shared_sheet", kwargs=scene.objects["copy_taken_back"])).status_code == 404


@pytest.mark.parametrize("field", ["instrument_range", "stood_by", "taken_by"])
def test_a_record_takes_nothing_and_nobody_of_another_workshop(scene: Scene, token: str, field: str) -> None:
    foreign = {"instrument_range": scene.b.instrument.pk}.get(field, scene.b.member.person_id)
    told = ask(token, "POST", reverse("api_records", kwargs=scene.objects["sheet_of_a"]), BODY | {field: foreign})
    assert told.status_code == 422 and list(told.json()["errors"]) == [field]


def test_a_sheet_belongs_to_the_workshop_of_the_token_whatever_is_sent(scene: Scene, token: str) -> None:
    told = ask(token, "POST", reverse("api_sheets"), {"title": "Bench", "workshop": scene.cast.b.pk})
    assert told.status_code == 422 and list(told.json()["errors"]) == ["workshop"]
    made = ask(token, "POST", reverse("api_sheets"), {"title": "Bench"}).json()
    with acting_for(scene.cast.a):
        assert Sheet.objects.get(pk=made["id"]).workshop == scene.cast.a
