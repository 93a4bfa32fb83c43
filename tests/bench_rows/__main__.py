"""`make bench`: every row on every engine, a line each, then how many there were and how many are over their goal.

Each engine runs in a process of its own, on a database of its own that is thrown away. `--small` takes little data;
`--only PATTERN` takes rows whose path the
pattern finds.
"""

from __future__ import annotations

import argparse
import importlib
import logging
import os
import pkgutil
import subprocess
import sys
import tempfile
from urllib.parse import urlsplit

from tests import bench_rows
from tests.bench_rows import NO_DATABASE, POSTGRESQL, SQLITE
from tests.servers import postgresql

HEAD = "path\tours\treference\tratio\tgoal\t"


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--small", action="store_true")
    parser.add_argument("--only", default="")
    parser.add_argument("--engine", choices=[NO_DATABASE, SQLITE, POSTGRESQL], help=argparse.SUPPRESS)
    return parser.parse_args()


def one_engine(given: argparse.Namespace) -> None:
    """The rows of one engine, in this process; its database is set in the environment."""
    import django
    from django.core.management import call_command

    django.setup()
    logging.disable(logging.WARNING)
    for module in pkgutil.iter_modules(bench_rows.__path__):
        if not module.name.startswith("_"):
            importlib.import_module(f"tests.bench_rows.{module.name}")
    if given.engine != NO_DATABASE:
        call_command("migrate", verbosity=0)
        call_command("createcachetable")
    for line in bench_rows.lines(given.engine, small=given.small, wanted=given.only):
        print(line, flush=True)


def child(engine: str, database: str, state: str) -> list[str]:
    command = [sys.executable, "-m", "tests.bench_rows", "--engine", engine, *sys.argv[1:]]
    environment = {**os.environ, "DJANGO_SETTINGS_MODULE": "tests.bench_rows._settings", "TEST_DATABASE_URL": database}
    process = subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, text=True)
    seen = []
    assert process.stdout
    for line in process.stdout:
        print(line, end="", flush=True)
        if line.count("\t") == HEAD.count("\t"):
            seen.append(line.rstrip("\n"))
    if process.wait():
        sys.exit(f"The rows of {engine} ended with code {process.returncode}.")
    return seen


def main() -> None:
    given = arguments()
    if given.engine:
        return one_engine(given)
    print(HEAD)
    seen = []
    with tempfile.TemporaryDirectory(prefix="benchring-bench-") as folder, postgresql() as server:
        seen += child(NO_DATABASE, f"sqlite:///{folder}/none.sqlite3", folder)
        seen += child(SQLITE, f"sqlite:///{folder}/bench.sqlite3", folder)
        with own_database(server) as database:
            seen += child(POSTGRESQL, database, folder)
    over = sum(line.endswith("\tover") for line in seen)
    print(f"{len(seen)} paths, {over} over")
    return None


class own_database:
    """A database of the server that exists only inside the block."""

    def __init__(self, server: str) -> None:
        self.server, self.name = server, f"benchring_bench_{os.getpid()}"

    def _run(self, sql: str) -> None:
        import psycopg

        with psycopg.connect(self.server, autocommit=True) as connection:
            connection.execute(sql)  # type: ignore[call-overload]

    def __enter__(self) -> str:
        self._run(f"CREATE DATABASE {self.name}")
        return urlsplit(self.server)._replace(path=f"/{self.name}").geturl()

    def __exit__(self, *_what: object) -> None:
        self._run(f"DROP DATABASE {self.name} WITH (FORCE)")


if __name__ == "__main__":
    main()
