"""A database of one's own for benches and trials that run in processes of their own, on both engines."""

from __future__ import annotations

import logging
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from urllib.parse import urlsplit

from tests.servers import postgresql

SQLITE, POSTGRESQL = "sqlite", "postgresql"


@contextmanager
def both() -> Iterator[dict[str, str]]:
    """An empty database of each engine by its address, gone after the block."""
    import psycopg

    name = f"benchring_own_{os.getpid()}"
    with tempfile.TemporaryDirectory(prefix="benchring-own-") as folder, postgresql() as server:
        with psycopg.connect(server, autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {name}")  # type: ignore[call-overload]
        try:
            yield {
                SQLITE: f"sqlite:///{folder}/own.sqlite3",
                POSTGRESQL: urlsplit(server)._replace(path=f"/{name}").geturl(),
            }
        finally:
            with psycopg.connect(server, autocommit=True) as connection:
                connection.execute(f"DROP DATABASE {name} WITH (FORCE)")  # type: ignore[call-overload]


def environment(database: str) -> dict[str, str]:
    """What a process needs to work on that database."""
    kept = {name: text for name, text in os.environ.items() if name != "REDIS_URL"}
    return {**kept, "DJANGO_SETTINGS_MODULE": "tests.own_settings", "TEST_DATABASE_URL": database}


def prepare() -> None:
    """In such a process: Django on the empty database, its tables made, its log silent but for what is grave."""
    import django
    from django.core.management import call_command

    django.setup()
    logging.disable(logging.ERROR)
    call_command("migrate", verbosity=0)
    call_command("createcachetable", verbosity=0)
