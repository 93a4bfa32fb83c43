"""The whole suite: on SQLite with the browser, then on PostgreSQL whatever touches a database and doesn't try both by itself.

What is marked `once` is decided the same whatever the database. Ends with what ran on each.

`make test ARGS="tests/jobs -k clearance"` passes arguments on to pytest.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
from urllib.parse import urlsplit

from tests.servers import postgresql

COUNT = re.compile(r"(\d+) (passed|failed|errors?|skipped|xfailed|xpassed)")


def run(name: str, database: str, *more: str) -> tuple[int, dict[str, int]]:
    """One run of pytest; its exit code and its counts."""
    began = time.monotonic()
    command = [
        sys.executable,
        "-m",
        "pytest",
        "-n",
        "2",
        "--dist",
        "loadfile",
        "--no-loadscope-reorder",
        "-q",
        *more,
        *sys.argv[1:],
    ]
    print(f"== {name}: {' '.join(command[1:])}", flush=True)
    process = subprocess.Popen(
        command, env=os.environ | {"TEST_DATABASE_URL": database}, stdout=subprocess.PIPE, text=True
    )
    last = ""
    assert process.stdout
    for line in process.stdout:
        print(line, end="", flush=True)
        last = line if COUNT.search(line) else last
    counts = {what.rstrip("s") if what.startswith("error") else what: int(n) for n, what in COUNT.findall(last)}
    print(f"== {name} took {time.monotonic() - began:.0f} s", flush=True)
    return process.wait(), counts


def main() -> int:
    with postgresql() as server:
        database = urlsplit(server)._replace(path="/benchring").geturl()
        results = {
            "SQLite": run("SQLite", ""),
            "PostgreSQL": run("PostgreSQL", database, "-m", "not browser and not both and not once"),
        }
    total: dict[str, int] = {}
    for name, (code, counts) in results.items():
        print(f"{name}: " + (", ".join(f"{n} {what}" for what, n in counts.items()) or f"ended with code {code}"))
        for what, n in counts.items():
            total[what] = total.get(what, 0) + n
    counted = total.get("failed", 0) + total.get("error", 0)
    failed = counted or sum(code != 0 for code, _counts in results.values())
    print(f"{total.get('passed', 0)} passed, {failed} failed")
    return 1 if failed or not total.get("passed") else 0


if __name__ == "__main__":
    sys.exit(main())
