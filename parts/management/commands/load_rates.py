"""Take in a newer history of exchange rates, checked before it is used; the next request reads it."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from parts import exchange


class Command(BaseCommand):
    help = "Load the European Central Bank's eurofxref-hist.zip, or the CSV in it, from a file."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            before, now = exchange.load(options["file"])
        except exchange.BadRates as wrong:
            raise CommandError(str(wrong)) from wrong
        self.stdout.write(f"Rates to {now}; before: to {before}.")
