"""The portal's own commands as processes of their own, on the database of the test."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from urllib.parse import quote

from django.conf import settings
from django.db import connection


def database_url() -> str:
    """Where the test's rows stand, as another process is told by DATABASE_URL."""
    facts = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite:///{facts['NAME']}"
    who = quote(facts["USER"]) + (f":{quote(facts['PASSWORD'])}" if facts["PASSWORD"] else "")
    return f"postgres://{who}@{quote(facts['HOST'], safe='')}:{facts['PORT'] or 5432}/{facts['NAME']}"


def environment(mail_port: int, redis_url: str = "") -> dict[str, str]:
    """What an operator would set: no demo, a secret, this database, this mail server."""
    kept = {name: text for name, text in os.environ.items() if name not in ("DEMO", "REDIS_URL")}
    return kept | {
        "DJANGO_SETTINGS_MODULE": "portal.settings",
        "SECRET_KEY": "only-for-the-tests-0123456789abcdefghijklmnopqrstuvwxyz",
        "DATABASE_URL": database_url(),
        "EMAIL_URL": f"smtp://127.0.0.1:{mail_port}",
        **({"REDIS_URL": redis_url} if redis_url else {}),
    }


@contextmanager
def running(*arguments: str, **env: str) -> Iterator[subprocess.Popen[bytes]]:
    """`python` with the arguments runs inside the block; whatever happens, it has ended afterwards."""
    process = subprocess.Popen([sys.executable, *arguments], cwd=settings.ROOT, env=env, stderr=subprocess.DEVNULL)
    try:
        yield process
    finally:
        process.terminate()
        try:
            process.wait(10)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def deliver_once(mail_port: int, redis_url: str = "") -> int:
    """`manage.py deliver_notices --once`; its exit code."""
    command = [sys.executable, "manage.py", "deliver_notices", "--once"]
    return subprocess.run(command, cwd=settings.ROOT, env=environment(mail_port, redis_url), timeout=30).returncode


def until(happened: Callable[[], object], seconds: float = 20.0) -> bool:
    """Wait until it has happened; False when it has not in time."""
    end = time.monotonic() + seconds
    while not happened():
        if time.monotonic() > end:
            return False
        time.sleep(0.05)
    return True
