"""Between cause and part: what the owner agreed to. The work doesn't wait for it here; whoever signs reads it."""

from __future__ import annotations

from django.urls import reverse
from django.utils.translation import gettext as _

from jobs.estimating import Standing
from jobs.models import Job
from jobs.sheet_page.steps import SheetStep


def agreed_step(job: Job, stands: Standing) -> SheetStep:
    """Done once the owner has agreed and nothing newer waits, and the work stays within the amount."""
    last, agreed = stands.last, stands.agreed
    answer = agreed.answer if agreed else None
    done = bool(agreed and agreed is last and not stands.beyond)
    return SheetStep(
        code="estimate",
        name=_("Agreed with the owner"),
        done=done,
        never_now=True,
        at=answer.said_at if answer else None,
        found=stands.beyond_sentence or stands.sentence,
        said=_("by %(name)s") % {"name": answer.name} if answer and done else "",
        url=reverse("job_estimate", args=[job.pk]),
        label=_("Estimates and what was used") if last else _("Write an estimate"),
    )
