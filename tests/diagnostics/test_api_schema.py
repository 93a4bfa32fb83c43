"""The description of the interface is true: whatever a program sends by it, no answer is of the 500 kind.

Outside source: schemathesis, which makes requests from the OpenAPI description, right and wrong ones, and compares each
answer with what the description promises. This is the short form; the long one is `python -m tests.trials.api`.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from django.db import transaction

from diagnostics.kinds import all_kinds
from tests.bench import WINDINGS, Bench, acting
from tests.cast import make_shared_sheet
from tests.diagnostics.programs import Program
from tests.trials import api as trial

pytestmark = pytest.mark.django_db
EACH = 8


@pytest.fixture(scope="module")
def bench(django_db_setup: None, django_db_blocker: Any) -> Iterator[Bench]:
    with django_db_blocker.unblock(), transaction.atomic():
        with acting() as made:
            made.record("machine_windings", WINDINGS, state="bench")
            make_shared_sheet(made.ilse, made.sheet)
            yield made
        transaction.set_rollback(True)


@pytest.fixture(scope="module")
def described(bench: Bench) -> Iterator[Any]:
    with trial.connection_kept():
        yield trial.described_here()


def test_what_is_sent_by_the_description_is_answered_by_it(bench: Bench, described: Any) -> None:
    tried, bad = trial.tried_and_bad(described, Program(bench).text, trial.ids_of(bench), EACH)
    assert bad == [] and tried > 80


def test_each_kind_is_described_with_all_its_fields(described: Any) -> None:
    shapes = described.raw_schema["components"]["schemas"]
    mapping = shapes["NewRecord"]["discriminator"]["mapping"]
    assert set(mapping) == set(all_kinds())
    for code, where in mapping.items():
        shape, fields = shapes[where.rpartition("/")[2]], all_kinds()[code].fields
        assert {field.name for field in fields} <= set(shape["properties"]), code
        required = {field.name for field in fields if getattr(field, "required", False)}
        assert required <= set(shape["required"]), code
        for field in fields:
            if unit := getattr(field, "unit", ""):
                assert unit in shape["properties"][field.name]["description"], (code, field.name)
