"""The sweeper as an operator runs it: a process of its own that needs no broker and ends when it is told to."""

from __future__ import annotations

import signal
import time

import pytest

from network.models import Notice
from tests.cast import make_workshop
from tests.network.mail_sink import Sink, free_port, listening
from tests.network.processes import deliver_once, environment, running, until

pytestmark = pytest.mark.django_db(transaction=True)


def test_once_delivers_what_is_due_and_ends() -> None:
    make_workshop()  # applying and deciding tell the administrator and the applicant
    expected = set(Notice.objects.values_list("message_id", flat=True))
    with listening(Sink(free_port())) as sink:
        assert deliver_once(sink.port) == 0
    assert len(expected) >= 1 and set(sink.ids) == expected
    assert set(Notice.objects.values_list("state", flat=True)) == {"sent"}


def test_it_delivers_within_seconds_of_the_commit_and_ends_on_sigterm() -> None:
    with (
        listening(Sink(free_port())) as sink,
        running("manage.py", "deliver_notices", **environment(sink.port)) as sweeper,
    ):
        make_workshop()
        assert until(lambda: sink.mails and not Notice.objects.exclude(state="sent").exists())
        began = time.monotonic()
        sweeper.send_signal(signal.SIGTERM)
        assert sweeper.wait(10) == 0
    assert time.monotonic() - began < 5  # the sweep in hand, then the end
