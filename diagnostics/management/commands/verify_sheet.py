"""Say whether a sheet still holds; otherwise name the first record that doesn't, and end with 1."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from diagnostics.chain import first_break
from diagnostics.models import Sheet
from network.access import WayOut, acting_for, way_out


class Command(BaseCommand):
    help = "Verify the chain of one sheet: exit 0 if it holds, 1 if not."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("sheet", type=int)

    def handle(self, *args: Any, **options: Any) -> None:
        with way_out(WayOut.VERIFY_SHEET):
            workshop = Sheet.objects.filter(pk=options["sheet"]).values_list("workshop_id", flat=True).first()
        if workshop is None:
            raise CommandError(f"There is no sheet {options['sheet']}.")
        with acting_for(workshop):
            sheet = Sheet.objects.get(pk=options["sheet"])
            found = first_break(sheet)
        if found:
            raise CommandError(found.sentence)
        self.stdout.write(f"Sheet {sheet.pk} holds: {sheet.length} records, last hash {sheet.last_hash}.")
