"""Ask about the repairs whose date has come; what Celery beat and the deliverer do by themselves."""

from typing import Any

from django.core.management.base import BaseCommand

from jobs import following


class Command(BaseCommand):
    help = "Ask workshops whether repairs that they shared still run, where 3, 6, 12 or 24 months are over."

    def handle(self, *args: Any, **options: Any) -> None:
        self.stdout.write(f"{following.ask_due()} asked")
