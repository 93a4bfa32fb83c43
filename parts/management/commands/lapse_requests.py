"""Let requests lapse that nobody settles, politely: whoever asked is told five days before."""

from typing import Any

from django.core.management.base import BaseCommand

from parts import lapsing


class Command(BaseCommand):
    help = "Tell of requests that lapse soon, and let lapse what is due. Once a day is enough; twice does no harm."

    def handle(self, *args: Any, **options: Any) -> None:
        told, lapsed = lapsing.look_after()
        self.stdout.write(f"{told} told, {lapsed} lapsed")
