"""Delivery hurried on by a real Celery worker on a Redis of our own; and the same with that Redis gone."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass
from subprocess import Popen
from typing import Any

import pytest

from network.models import Notice
from portal.celery import app
from tests.cast import make_workshop
from tests.network.mail_sink import Sink, free_port, listening
from tests.network.processes import deliver_once, environment, running, until
from tests.servers import own_redis

pytestmark = pytest.mark.django_db(transaction=True)
WORKER = ("-m", "celery", "-A", "portal", "worker", "--pool", "solo", "--loglevel", "ERROR", "--without-mingle")


@dataclass(frozen=True)
class Redis:
    url: str
    process: Popen[bytes]

    def stop(self) -> None:
        self.process.terminate()
        self.process.wait(10)


@pytest.fixture
def redis(settings: Any, monkeypatch: pytest.MonkeyPatch) -> Iterator[Redis]:
    """A Redis that this process is told of as an operator would tell it, and that a test may stop."""
    with own_redis() as (url, process):
        settings.REDIS_URL = url
        monkeypatch.setenv("CELERY_BROKER_URL", url)  # Celery reads it at each use, before its settings
        forget_connections()
        yield Redis(url, process)
    forget_connections()


def forget_connections() -> None:
    """The next hint opens a connection of its own, as in a process that has just begun."""
    app._pool = app.amqp._producer_pool = None


def everything_sent() -> bool:
    return Notice.objects.exists() and not Notice.objects.exclude(state="sent").exists()


def test_a_celery_worker_delivers_what_was_committed(redis: Redis) -> None:
    with listening(Sink(free_port())) as sink, running(*WORKER, **environment(sink.port, redis.url)):
        make_workshop()  # applying and deciding tell the administrator and the applicant
        # Nothing else delivers here: neither a sweeper nor the beat runs, so the hint must have done it.
        assert until(everything_sent, seconds=30)
        assert sorted(sink.ids) == sorted(Notice.objects.values_list("message_id", flat=True))


def test_with_redis_stopped_committing_is_quick_and_the_notice_still_arrives(redis: Redis) -> None:
    redis.stop()
    began = time.monotonic()
    make_workshop()
    assert time.monotonic() - began < 3  # three hints that lead nowhere, each given up at once
    with listening(Sink(free_port())) as sink:
        assert deliver_once(sink.port, redis.url) == 0
        assert everything_sent() and len(sink.mails) == Notice.objects.count()


def test_a_redis_that_stops_between_two_commits_costs_the_second_one_nothing(redis: Redis) -> None:
    make_workshop("Ateliers Hautpré")  # the connection to Redis is open now
    redis.stop()
    began = time.monotonic()
    make_workshop("Atelier Moutfort")
    assert time.monotonic() - began < 3
    with listening(Sink(free_port())) as sink:
        assert deliver_once(sink.port, redis.url) == 0
        assert everything_sent() and len(sink.mails) == Notice.objects.count()
