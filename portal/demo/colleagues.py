"""What colleagues did before the demo opens: looked at a job from afar, and read the notices that are long settled."""

from __future__ import annotations

import datetime

from jobs import second_looks
from jobs.models import Job
from network.access import acting_for
from network.models import Application, Notice
from parts.models import PartRequest
from portal.demo.network import Cast

QUESTION = "Phase W reads a little high and nothing else does: would you trust the machine, or test it warm first?"
REMARK = (
    "Test it warm. On two of ours the unbalance doubled at 60 °C and the second inverter burnt within a month. "
    "Look at the plug of phase W as well; the pins discolour before they read high."
)
READ_AT_ONCE = ("workshop_approved", "workshop_declined", "members_asked_to_agree", "membership_agreed")


def load_second_looks(*, cast: Cast, today: datetime.date) -> None:
    """The job that stands at measuring: one colleague has signed a remark, another is still asked."""
    ilse = cast.member(cast.hautpre, "ilse@hautpre.example")
    with acting_for(cast.hautpre):
        job = Job.objects.with_facts().order_by("pk")[0]
        for who, address, days in (
            ("Atelier Moutfort", "", 20),
            ("Hybridwerk Rureifel", "technician@rureifel.example", 9),
        ):
            colleague = cast.member(who, address)
            until = today + datetime.timedelta(days=days)
            look = second_looks.ask(job=job, colleague=colleague, question=QUESTION, lapses_on=until, by=ilse)
            if not address:
                second_looks.sign(look=look, words=REMARK, by=colleague)


def read_what_is_settled() -> None:
    """People have read what came in over the years; what still waits for them stays unread."""
    unread = Notice.objects.unread().select_related("event")
    decided = Application.objects.exclude(state=Application.State.WAITING).values("pk")
    newest = list(PartRequest.objects.order_by("-asked_at", "-pk").values_list("pk", flat=True)[:3])
    settled = [
        *unread.filter(event__verb__in=READ_AT_ONCE),
        *unread.filter(event__verb="workshop_applied", event__subject_id__in=decided),
        *unread.filter(event__verb="part_asked").exclude(event__subject_id__in=newest),
    ]
    for notice in settled:
        notice.read()
