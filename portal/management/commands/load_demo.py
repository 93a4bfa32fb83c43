"""Load the invented network through the verbs that people use. Does nothing where it is loaded already."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from portal.demo.cast import OWNER_OF, PASSWORD, SIGN_INS, SIGNING_CODES

HOW_TO = """
Benchring answers at {base}

Sign in at {base}/account/login/ with the password  {password}
{people}
Signing codes in the bay
{codes}
An owner's private link
  {link}

Mails land in {mails} (no mail server is named).
Ctrl-C stops it; RESET=1 make demo starts over.
"""


class Command(BaseCommand):
    help = "Load the demo network (only with DEMO=1)."

    def handle(self, *args: Any, **options: Any) -> None:
        if not settings.DEMO:
            raise CommandError("The demo is loaded only where DEMO=1 is set: its sign-ins are public knowledge.")
        from network.models import User

        if User.objects.filter(email=SIGN_INS[0][1]).exists():
            return
        from portal.demo.battery import load_battery
        from portal.demo.board import load_board
        from portal.demo.colleagues import load_second_looks, read_what_is_settled
        from portal.demo.finishing import load_finished
        from portal.demo.measuring import load_bench_sheet, load_families, load_instruments, load_token
        from portal.demo.network import load_network
        from portal.demo.numbers import load_numbers
        from portal.demo.outcomes import load_outcomes
        from portal.demo.reference import load_references
        from portal.demo.work import load_work

        today = timezone.localdate()
        cast = load_network(today=today, password=PASSWORD)
        families = load_families(cast=cast)
        load_instruments(cast=cast, today=today)
        load_bench_sheet(cast=cast, families=families)
        load_token(cast=cast)
        load_references(cast=cast, families=families)
        load_work(cast=cast, families=families, today=today)
        load_battery(cast=cast, families=families, today=today)
        load_numbers(cast=cast, families=families, today=today)
        load_board(cast=cast, families=families, today=today)
        load_finished(cast=cast, families=families)
        load_outcomes(cast=cast, families=families, today=today)
        load_second_looks(cast=cast, today=today)
        read_what_is_settled()


def sign_ins() -> str:
    """The address, a sign-in for each kind of member, and a private link of an owner."""
    from jobs.models import Enquiry
    from jobs.owner_link import path_for
    from network.access import acting_for
    from network.models import Workshop

    with acting_for(Workshop.objects.get(name=OWNER_OF)):
        link = settings.BASE_URL + path_for(Enquiry.objects.order_by("pk")[0])
    people = "\n".join(f"  {role:<24}{email}" for role, email in SIGN_INS)
    codes = "\n".join(f"  {email:<24}{code}" for email, code in SIGNING_CODES.items())
    mails = settings.EMAIL_FILE_PATH.relative_to(settings.ROOT)
    return HOW_TO.format(base=settings.BASE_URL, password=PASSWORD, people=people, codes=codes, link=link, mails=mails)
