"""The short form of `make bench`: that rows still run and are told as they should. No ratio is looked at here."""

from __future__ import annotations

import re
import subprocess
import sys

import pytest
from django.conf import settings

pytestmark = pytest.mark.both
LINE = re.compile(r"[^\t]+\t[\d.e-]+ m?s\t[^\t]+ [\d.e-]+ m?s\t[\d.]+\t[\d.]+\t(ok|over)")


def test_rows_are_told_a_line_each_and_counted() -> None:
    command = [sys.executable, "-m", "tests.bench_rows", "--small", "--only", "coulomb|notice rows"]
    told = subprocess.run(command, cwd=settings.ROOT, capture_output=True, text=True, timeout=120, check=True).stdout
    head, *lines, last = told.strip().splitlines()
    assert head.split("\t")[:5] == ["path", "ours", "reference", "ratio", "goal"]
    assert len(lines) == 3 and all(LINE.fullmatch(line) for line in lines), told
    assert last == f"3 paths, {sum(line.endswith('over') for line in lines)} over"
