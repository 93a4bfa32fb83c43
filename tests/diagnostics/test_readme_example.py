"""The example of the README is run as it stands there, by a program of its own, against a server that answers."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest
from pytest_django.live_server_helper import LiveServer

from network.access import acting_for
from tests.cast import make_member, make_token, make_workshop

README = Path(__file__).parents[2] / "README.md"


@pytest.mark.django_db(transaction=True)
def test_the_example_of_the_readme_makes_a_sheet_and_a_record_that_holds(live_server: LiveServer) -> None:
    from diagnostics.models import Record

    [example] = re.findall(r"```text\n(.*?)```", README.read_text(encoding="utf-8"), re.DOTALL)
    assert len(example.splitlines()) <= 10, "ten lines"
    workshop = make_workshop()
    _row, token = make_token(make_member(workshop))
    for there, here in (("http://localhost:8000", live_server.url), ("benchring_1_...", token)):
        assert there in example
        example = example.replace(there, here)
    run = subprocess.run([sys.executable, "-c", example], capture_output=True, text=True, timeout=60, check=False)
    assert run.returncode == 0, run.stderr
    with acting_for(workshop):
        record = Record.objects.get()
    assert run.stdout.startswith("unproven ") and run.stdout.split()[-2:] == [record.hash, "True"]
