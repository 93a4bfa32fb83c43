"""A step of the sheet as the page tells it, and what a signed step asks."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field

from django.http import Http404
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.clearance import requirement_of
from jobs.finishing import Stage, listed
from jobs.models import Job, SignedEntry
from jobs.requirements import REQUIREMENTS, ByEntry

Step = SignedEntry.Step


@dataclass(frozen=True, kw_only=True)
class Asked:
    """What a step that is signed asks for, and whether the signer says if it is good."""

    title: str | Promise
    ask: str | Promise
    judged: bool
    torque: bool = False


LATER_STEPS = {
    Step.FITTED: Asked(
        title=gettext_lazy("Fitted"), ask=gettext_lazy("What was fitted, torque, coding and resets done"), judged=False
    ),
    Step.PROVED: Asked(
        title=gettext_lazy("Proved"),
        ask=gettext_lazy("Isolation after fitting, codes read again, fan or pump through its steps, road test"),
        judged=True,
    ),
    Step.HANDED_OVER: Asked(
        title=gettext_lazy("Handed over"), ask=gettext_lazy("What the owner was told, and what to watch"), judged=False
    ),
}


def asked_by(job: Job, step: str) -> Asked:
    """What signing this step of this job asks; 404 for a step that nobody signs."""
    if step in LATER_STEPS:
        return LATER_STEPS[Step(step)]
    one = requirement_of(job, step)
    if not isinstance(one, ByEntry):
        raise Http404
    of_fitting = (listed(job, step) or ("",))[0] == Stage.FITTING
    return Asked(title=one.title, ask=one.ask, judged=not of_fitting, torque=one.torque)


def title_of(entry: SignedEntry) -> str:
    """What pages and reports call what was signed; its code where this version knows it no more."""
    if entry.title:
        return entry.title
    if entry.step in Step.values:
        return str(LATER_STEPS[Step(entry.step)].title if entry.step in LATER_STEPS else Step(entry.step).label)
    titles = {one.code: str(one.title) for requirements in REQUIREMENTS.values() for one in requirements}
    return titles.get(entry.step, entry.step)


@dataclass(kw_only=True)
class SheetStep:
    """One step of the sheet. `state` is done, now or later; `found` says what was found, or what it waits for."""

    code: str
    name: str
    done: bool
    found: str
    state: str = ""
    verdict: str = ""
    said: str = ""
    at: datetime.datetime | None = None
    url: str = ""
    label: str = ""
    holds_record: bool = False  # the record that is open stands in this step
    never_now: bool = False  # it has its place in the order, but the work goes on without it
    details: list[tuple[str, str]] = field(default_factory=list)

    @property
    def day(self) -> str:
        if self.at is None:
            return ""
        local = timezone.localtime(self.at)
        return _("today") if local.date() == timezone.localdate() else date_format(local, "D j M")

    @property
    def time(self) -> str:
        return date_format(timezone.localtime(self.at), "H:i") if self.at else ""


def signed_step(job: Job, entries: dict[str, SignedEntry], step: str, name: str, waits: str) -> SheetStep:
    entry = entries.get(step)
    return SheetStep(
        code=step,
        name=name,
        done=bool(entry and entry.good),
        at=entry.signed_at if entry else None,
        found=entry.found if entry else waits,
        said=_("signed by %(who)s") % {"who": entry.signed_by} if entry else "",
        url=reverse("entry_sign", args=[job.pk, step]),
        label=_("Sign: %(name)s") % {"name": name},
    )
