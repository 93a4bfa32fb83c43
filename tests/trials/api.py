"""Send to every address for programs whatever its description allows, and what it doesn't: `python -m tests.trials.api`.

schemathesis makes the requests from the OpenAPI description, half of them wrong on purpose, and compares each answer
with what the description promises; none may be of the 500 kind. An argument says how many for each address (200).
The database is the one of `tests/settings.py`: SQLite, or what TEST_DATABASE_URL names; nothing of it is kept.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

EACH = 200


def tried_and_bad(described: Any, text: str, ids: dict[str, int], each: int) -> tuple[int, list[str]]:
    """How many requests were sent, and what was wrong with which."""
    from hypothesis import HealthCheck, Phase, Verbosity, given, settings
    from schemathesis.checks import CHECKS, load_all_checks
    from schemathesis.core.failures import FailureGroup
    from schemathesis.generation import GenerationMode

    load_all_checks()
    promised = [CHECKS.get_one(name) for name in (
        "not_a_server_error", "status_code_conformance", "content_type_conformance", "response_schema_conformance",
    )]  # fmt: skip
    tried, bad = 0, []
    quick = settings(
        max_examples=max(each // 2, 1), deadline=None, suppress_health_check=list(HealthCheck), database=None,
        phases=[Phase.generate], verbosity=Verbosity.quiet, derandomize=True,
    )  # fmt: skip

    def ask(case: Any) -> None:
        nonlocal tried
        tried += 1
        with undone():
            try:
                case.call_and_validate(headers={"Authorization": f"Bearer {text}"}, checks=promised)
            except FailureGroup as group:
                bad.extend(f"{case.method} {case.path}: {one.title}: {one.message}"[:400] for one in group.exceptions)

    for result in described.get_all_operations():
        operation = result.ok()
        known = {"path_parameters": {"id": ids[operation.path]}} if operation.path in ids else {}
        for mode in GenerationMode:
            # Of a right request the row is there; a wrong one may also ask for a row that can't be.
            cases = operation.as_strategy(mode, **(known if mode == GenerationMode.POSITIVE else {}))
            try:
                quick(given(case=cases)(ask))()
            except Exception as error:
                if "Unsatisfiable" not in type(error).__name__:
                    raise
    return tried, bad


@contextmanager
def undone() -> Iterator[None]:
    """Whatever a request writes is rolled back, and requests of a minute aren't counted."""
    from django.core.cache import cache
    from django.db import transaction

    with transaction.atomic():
        cache.clear()
        yield
        transaction.set_rollback(True)


@contextmanager
def connection_kept() -> Iterator[None]:
    """Asked in this process: the server's habit of closing the connection after a request is put off meanwhile."""
    from django.core.signals import request_finished, request_started
    from django.db import close_old_connections

    for signal in (request_started, request_finished):
        signal.disconnect(close_old_connections)
    yield
    for signal in (request_started, request_finished):
        signal.connect(close_old_connections)


def described_here() -> Any:
    import schemathesis
    from django.core.handlers.wsgi import WSGIHandler

    whole = schemathesis.openapi.from_wsgi("/api/schema/", WSGIHandler())
    return whole.include(path_regex="^/api/v1/").exclude(path_regex="near")


def ids_of(bench: Any) -> dict[str, int]:
    """A row that is there for each address that asks for one."""
    from diagnostics.models import Record, SharedSheet

    sheet, record, copy = bench.sheet.pk, Record.objects.latest("pk").pk, SharedSheet.objects.latest("pk").pk
    of_a_sheet = {f"/api/v1/sheets/{{id}}{rest}": sheet for rest in ("", "/verify", "/logs", "/records", "/judgement")}
    of_a_record = {f"/api/v1/records/{{id}}{rest}": record for rest in ("", "/correction")}
    return of_a_sheet | of_a_record | {"/api/v1/shared-sheets/{id}": copy}


def main() -> int:
    import logging

    from tests.trials.ground import ground

    with ground():
        from django.core.management import call_command

        from tests.bench import WINDINGS, acting
        from tests.cast import make_shared_sheet, make_token

        logging.disable(logging.CRITICAL)
        call_command("createcachetable", verbosity=0)
        with acting() as bench, connection_kept():
            bench.record("machine_windings", WINDINGS, state="bench")
            make_shared_sheet(bench.ilse, bench.sheet)
            _row, text = make_token(bench.ilse)
            each = int(sys.argv[1]) if len(sys.argv) > 1 else EACH
            tried, bad = tried_and_bad(described_here(), text, ids_of(bench), each)
    for line in sorted(set(bad)):
        print(line)
    print(f"{tried} tried, {len(bad)} bad")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
