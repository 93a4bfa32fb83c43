"""Ask a second pair of eyes: freeze a copy of one job for a named colleague at another workshop, until a date.

What goes out is what the preview showed: figures, codes, what was signed, in words from which the names, numbers and
addresses that this job knows were taken out. A text that still looks private is left out whole. The colleague's
remark is signed once, together with the copy it speaks of, and stays with the job.
"""

from __future__ import annotations

import datetime
import re
from typing import Any

from django.db import transaction
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from diagnostics.chain import hash_of_body
from diagnostics.kinds import kind_of
from diagnostics.summary import found_words
from jobs.clearance import clearance
from jobs.models import Job, JobLook, SecondLook
from jobs.sharing import TellsTooMuch, known_of, mileage_band, private_pieces
from jobs.sheet_page.steps import title_of
from jobs.standing import held_by
from network.models import Event, Membership
from network.private_text import private_pieces as looking_private
from network.telling import tell

LONGEST_DAYS = 60
LEFT_OUT = "…"


class CannotBeAsked(Exception):
    """The colleague or the day can't be; the text is the sentence that says why."""


class CannotBeSigned(Exception):
    """The copy has lapsed, or the remark is signed already; the text says which."""


def frozen_copy(job: Job) -> dict[str, Any]:
    """What the colleague will see: nothing of the customer, and nothing that the car could be found by."""
    found = held_by(job)
    return {
        "part": str(job.get_part_display()),
        "family": str(job.vehicle.family or ""),
        "mileage_band": mileage_band(job.vehicle.odometer_km),
        "complaint": without_private(job, job.complaint),
        "codes": list(dict.fromkeys(str(code) for code in job.codes.as_found())),
        "stands": clearance(job, found).sentence,
        "figures": [
            {
                "name": f"{kind.title}, {record.subject}" if record.subject else str(kind.title),
                "found": found_words(record),
                "verdict": record.verdict,
            }
            for record in found.records
            if (kind := kind_of(record.kind))
        ],
        "entries": [
            {"step": title_of(entry), "good": entry.good, "words": without_private(job, entry.found)}
            for entry in found.entries
        ],
    }


def without_private(job: Job, text: str) -> str:
    """The text without what this job knows; only the sign for "left out" where it still looks private."""
    for known in known_of(job):
        if len(known) >= 3:
            text = re.sub(re.escape(known), LEFT_OUT, text, flags=re.IGNORECASE)
    return LEFT_OUT if private_pieces(job, text) else text


@transaction.atomic
def ask(*, job: Job, colleague: Membership, question: str, lapses_on: datetime.date, by: Membership) -> SecondLook:
    """Freeze the copy and tell the colleague. Raises CannotBeAsked, and TellsTooMuch for the question."""
    today = timezone.localdate()
    if not today <= lapses_on <= today + datetime.timedelta(days=LONGEST_DAYS):
        raise CannotBeAsked(_("Choose a day between today and %(n)d days from now.") % {"n": LONGEST_DAYS})
    able = Membership.objects.able_to_act().exclude(workshop=by.workshop_id).filter(pk=colleague.pk)
    if not able.exists():
        raise CannotBeAsked(_("Choose a colleague of another approved workshop."))
    if pieces := private_pieces(job, question):
        raise TellsTooMuch(pieces)
    copy = frozen_copy(job)
    look = SecondLook.objects.create(
        asked_by_workshop=by.workshop, asked_by=by.person, colleague=colleague, question=question, copy=copy,
        copy_sha256=hash_of_body(copy), lapses_on=lapses_on,
    )  # fmt: skip
    JobLook(job=job, look=look).save()
    event = Event.record("second_look_asked", look, by=by.person, workshop=by.workshop)
    tell(
        event,
        people=[colleague.person],
        template="mail/second_look_asked.txt",
        facts={"look": look, "who": by.person, "workshop": by.workshop},
        path=reverse("second_look", args=[look.pk]),
    )
    return look


@transaction.atomic
def sign(*, look: SecondLook, words: str, by: Membership) -> None:
    """The named colleague signs a remark, once, while the copy may be read. Raises CannotBeSigned, TellsTooMuch."""
    if pieces := looking_private(words):
        raise TellsTooMuch(pieces)
    now = timezone.now()
    signature = hash_of_body([look.copy_sha256, words, by.person_id, now.isoformat()])
    signed = (
        SecondLook.objects.waiting_for(by)
        .filter(pk=look.pk)
        .update(remark=words, remarked_at=now, remark_sha256=signature)
    )
    look.refresh_from_db()
    if not signed:
        raise CannotBeSigned(
            _("This remark is signed already.") if look.remark else _("This copy lapsed; nothing is signed on it now.")
        )
    event = Event.record("second_look_signed", look, by=by.person, workshop=by.workshop)
    tell(
        event,
        people=[look.asked_by],
        template="mail/second_look_signed.txt",
        facts={"look": look, "who": by.person, "workshop": by.workshop},
        path=reverse("second_look", args=[look.pk]),
    )


def holds(look: SecondLook) -> bool:
    """Whether copy and remark are still those that were signed."""
    if look.remarked_at is None:
        return hash_of_body(look.copy) == look.copy_sha256
    signed = [hash_of_body(look.copy), look.remark, look.colleague.person_id, look.remarked_at.isoformat()]
    return hash_of_body(signed) == look.remark_sha256
