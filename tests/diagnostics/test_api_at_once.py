"""Two programs at once: one record for one key, two for none, and the chain holds; on both databases."""

from __future__ import annotations

import threading
from typing import Any

import pytest
from django.db import connection

from diagnostics.chain import first_break
from diagnostics.models import Record
from tests.bench import acting
from tests.diagnostics.programs import Program
from tests.diagnostics.test_api import records_of, windings


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("key", ["one key", ""])
def test_two_at_once_with_one_key_make_one_record_and_without_both_are_kept(key: str) -> None:
    with acting() as bench:
        program, path, body = Program(bench), records_of(bench), windings(bench)
        headers = {"idempotency_key": key} if key else {}
        answers: list[Any] = []

        def send() -> None:
            try:
                answers.append(program.ask("POST", path, body, **headers))
            finally:
                connection.close()

        both = [threading.Thread(target=send) for _n in range(2)]
        for one in both:
            one.start()
        for one in both:
            one.join()
        assert [answer.status_code for answer in answers] == [201, 201], [answer.content for answer in answers]
        assert Record.objects.count() == (1 if key else 2)
        assert first_break(bench.sheet) is None
