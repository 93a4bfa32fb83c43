"""Read one mail that came back from standard input and mark the notice that it speaks of."""

import sys
from typing import Any

from django.core.management.base import BaseCommand

from network import returned_mail

LARGEST = 10_000_000


class Command(BaseCommand):
    help = "Read a delivery status notification (RFC 3464) from standard input and mark the notice that came back."

    def handle(self, *args: Any, **options: Any) -> None:
        marked = returned_mail.take(sys.stdin.buffer.read(LARGEST))
        self.stdout.write(f"{marked} notices marked as not arrived.")
