"""The short forms of `make chaos` and `make races`: real processes, both databases, a few faults and rounds."""

from __future__ import annotations

import subprocess
import sys

import pytest
from django.conf import settings

pytestmark = pytest.mark.both


def last_line(*arguments: str) -> str:
    command = [sys.executable, "-m", *arguments]
    ran = subprocess.run(command, cwd=settings.ROOT, capture_output=True, text=True, timeout=240)
    return (ran.stdout.strip().splitlines() or [ran.stderr])[-1]


def test_notices_survive_a_few_faults() -> None:
    assert last_line("tests.trials.chaos", "--notices", "80", "--faults", "8") == "160 tried, 0 bad"


def test_of_eight_at_once_one_wins_and_the_others_are_told() -> None:
    assert last_line("tests.trials.races", "--rounds", "3") == "24 tried, 0 bad"
