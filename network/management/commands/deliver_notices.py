"""The sweeper: deliver what is due, each second, without any broker. Ends on SIGTERM after the batch in hand."""

import logging
import signal
import threading
import time
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandParser
from django.db import DatabaseError, close_old_connections
from django.utils.module_loading import import_string

from network import delivery

log = logging.getLogger(__name__)


class SweptToo:
    """What other rooms want done now and then, named in the settings: what Celery beat does where it runs."""

    def __init__(self) -> None:
        self.due = dict.fromkeys(settings.SWEPT_TOO, 0.0)

    def run(self) -> None:
        for name, seconds in settings.SWEPT_TOO.items():
            if time.monotonic() < self.due[name]:
                continue
            self.due[name] = time.monotonic() + seconds
            try:
                import_string(name)()
            except DatabaseError:
                raise
            except Exception:  # a fault elsewhere keeps no notice from going out
                log.exception("%s failed; it is tried again in %d s.", name, seconds)


class Command(BaseCommand):
    help = "Deliver notices by mail as they fall due. Runs until it is told to end; --once sweeps once."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--once", action="store_true", help="deliver what is due now, then end")

    def handle(self, *args: Any, **options: Any) -> None:
        ending = threading.Event()
        for number in (signal.SIGTERM, signal.SIGINT):
            signal.signal(number, lambda *_: ending.set())
        swept_too = SweptToo()
        while not ending.is_set():
            try:
                swept_too.run()
                handled = delivery.deliver_due(going_on=lambda: not ending.is_set())
            except DatabaseError as problem:
                # The database restarts or is busy: the rows wait, and so do we.
                self.stderr.write(f"The database did not answer ({type(problem).__name__}); trying again.")
                close_old_connections()
                handled = 0
            if options["once"] and handled < delivery.BATCH:
                return
            if handled < delivery.BATCH:
                ending.wait(1)
