"""`make bench`: every row on every engine, a line each, then how many there were and how many are over their goal.

Each engine runs in a process of its own, on a database of its own that is thrown away. `--small` takes little data;
`--only PATTERN` takes rows whose path the
pattern finds.
"""

from __future__ import annotations

import argparse
import importlib
import pkgutil
import subprocess
import sys

from tests import bench_rows
from tests.bench_rows import NO_DATABASE, POSTGRESQL, SQLITE
from tests.own_database import both, environment, prepare

HEAD = "path\tours\treference\tratio\tgoal\t"


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--small", action="store_true")
    parser.add_argument("--only", default="")
    parser.add_argument("--engine", choices=[NO_DATABASE, SQLITE, POSTGRESQL], help=argparse.SUPPRESS)
    return parser.parse_args()


def one_engine(given: argparse.Namespace) -> None:
    """The rows of one engine, in this process; its database is set in the environment."""
    prepare()
    for module in pkgutil.iter_modules(bench_rows.__path__):
        if not module.name.startswith("_"):
            importlib.import_module(f"tests.bench_rows.{module.name}")
    for line in bench_rows.lines(given.engine, small=given.small, wanted=given.only):
        print(line, flush=True)


def child(engine: str, database: str) -> list[str]:
    command = [sys.executable, "-m", "tests.bench_rows", "--engine", engine, *sys.argv[1:]]
    process = subprocess.Popen(command, env=environment(database), stdout=subprocess.PIPE, text=True)
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
    seen = child(NO_DATABASE, "sqlite:///:memory:")
    with both() as databases:
        for engine, database in databases.items():
            seen += child(engine, database)
    over = sum(line.endswith("\tover") for line in seen)
    print(f"{len(seen)} paths, {over} over")
    return None


if __name__ == "__main__":
    main()
