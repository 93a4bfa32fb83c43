"""The public page that takes a printed hash: whether the sheet still holds, and nothing of what stands on it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from django.db import transaction
from django.test import Client
from django.urls import reverse

from diagnostics.models import Record
from tests.bench import PROOF, WINDINGS, Bench, acting

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def bench(django_db_setup: None, django_db_blocker: Any) -> Iterator[Bench]:
    with django_db_blocker.unblock(), transaction.atomic():
        with acting() as made:
            yield made
        transaction.set_rollback(True)


def page(printed: str) -> str:
    return Client().get(reverse("verify"), {"hash": printed}).content.decode()


def test_a_sheet_that_holds_is_told_with_what_was_added_since(bench: Bench) -> None:
    first = bench.record("absence_of_voltage", PROOF)
    assert "This sheet holds" in page(first.hash) and "Nothing was added since" in page(first.hash)
    bench.record("machine_windings", WINDINGS)
    assert "This sheet holds" in page(first.hash) and "One was added since" in page(first.hash)


def test_a_changed_record_is_named_whichever_hash_of_the_sheet_was_printed(bench: Bench) -> None:
    first, second = bench.record("absence_of_voltage", PROOF), bench.record("machine_windings", WINDINGS)
    Record.objects.filter(pk=first.pk).update(verdict="outside")
    for printed in (first.hash, second.hash):
        assert "no longer holds" in page(printed) and "Record 1 shows something else" in page(printed)


def test_a_record_written_anew_with_a_new_hash_leaves_the_printed_one_unknown(bench: Bench) -> None:
    record = bench.record("machine_windings", WINDINGS, state="bench")
    Record.objects.filter(pk=record.pk).update(hash="ab" * 32)
    assert "No record here has this hash" in page(record.hash) and "no longer stands here" in page(record.hash)


def test_nothing_of_the_sheet_is_told(bench: Bench) -> None:
    record = bench.record("machine_windings", WINDINGS, state="bench")
    told = page(record.hash)
    for word in (bench.workshop.name, bench.sheet.title, bench.ilse.person.name, "Machine windings", "93.6"):
        assert word not in told, word


@pytest.mark.parametrize("printed", ["zz", "AB" * 32, "ab" * 33, "\0" * 64, "%00"])
def test_what_is_no_hash_is_refused_with_what_a_hash_looks_like(printed: str) -> None:
    answer = Client().get(reverse("verify"), {"hash": printed})
    assert answer.status_code == 422 and "64 characters" in answer.content.decode()
