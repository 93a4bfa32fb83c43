"""The sweeper: deliver what is due, each second, without any broker. Ends on SIGTERM after the batch in hand."""

import signal
import threading
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.db import DatabaseError, close_old_connections

from network import delivery


class Command(BaseCommand):
    help = "Deliver notices by mail as they fall due. Runs until it is told to end; --once sweeps once."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--once", action="store_true", help="deliver what is due now, then end")

    def handle(self, *args: Any, **options: Any) -> None:
        ending = threading.Event()
        for number in (signal.SIGTERM, signal.SIGINT):
            signal.signal(number, lambda *_: ending.set())
        while not ending.is_set():
            try:
                handled = delivery.deliver_due()
            except DatabaseError as problem:
                # The database restarts or is busy: the rows wait, and so do we.
                self.stderr.write(f"The database did not answer ({type(problem).__name__}); trying again.")
                close_old_connections()
                handled = 0
            if options["once"] and handled < delivery.BATCH:
                return
            if handled < delivery.BATCH:
                ending.wait(1)
