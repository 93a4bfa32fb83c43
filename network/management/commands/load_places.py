"""Load places from the installed open data, or from a file in the GeoNames postal layout."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from network import place_loading
from network.models import Place
from network.places import COUNTRIES


class Command(BaseCommand):
    help = "Load postcodes with their points. Running it again brings changed ones up to date."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--country", nargs="+", choices=COUNTRIES, default=list(COUNTRIES))
        parser.add_argument("--file", type=Path, help="a file in the GeoNames postal layout, instead of the packages")
        parser.add_argument("--missing-only", action="store_true", help="do nothing where places are loaded already")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["missing_only"] and Place.objects.exists():
            return
        try:
            source = options["file"]
            rows = (
                place_loading.from_geonames_file(source) if source else place_loading.from_packages(options["country"])
            )
            count = place_loading.store(rows)
        except (OSError, ValueError) as problem:
            raise CommandError(str(problem)) from problem
        self.stdout.write(f"{count} places are loaded.")
