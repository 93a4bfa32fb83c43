"""What waits for a workshop this morning: one list out of every room, the most pressing first.

The order: what somebody outside waits for (an owner, a colleague), what keeps a car on the lift, what the network
asked, and last what runs out some day. Within a kind the oldest, or what runs out first, comes first.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, Q
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from diagnostics.models import Instrument
from jobs.clearance import clearance
from jobs.models import Enquiry, Estimate, FollowUp, Job, SecondLook, SignedEntry
from jobs.standing import Found, found_on
from network.models import Membership, Qualification
from parts.models import Answer, PartRequest

Step = SignedEntry.Step
MOST_OF_A_KIND = 6
QUALIFICATION_DAYS = 60
CALIBRATION_DAYS = 30


@dataclass(frozen=True, kw_only=True)
class Item:
    """One thing to do: what it is about, what to do, since or until when."""

    kind: str
    about: str
    todo: str
    url: str
    label: str
    since: datetime.datetime | None = None
    until: datetime.date | None = None
    pressing: bool = False


@dataclass(frozen=True, kw_only=True)
class Kind:
    """The things of one kind that are shown, and how many there are in all."""

    code: str
    title: str
    items: tuple[Item, ...]
    count: int
    more_url: str

    @property
    def more(self) -> int:
        return self.count - len(self.items)


def waiting(membership: Membership) -> list[Kind]:
    """Every kind of which something waits, the most pressing first. Reads a bounded number of rows of each."""
    kinds = (
        _kind("enquiry", _("Enquiries"), *_enquiries(), reverse("jobs")),
        _kind("second_look", _("A colleague asks"), *_second_looks(membership), reverse("waiting")),
        _kind(
            "arrived",
            _("Parts that should be here"),
            *_parts(membership),
            reverse("board") + "?whose=ours&state=accepted",
        ),
        _kind("answer", _("Answers to our requests"), *_answers(membership), reverse("board") + "?whose=ours"),
        _kind("job", _("Cars on the bench"), *_jobs(), reverse("jobs") + "?show=bench"),
        _kind("follow_up", _("Follow-ups"), *_follow_ups(), reverse("follow_ups")),
        _kind("qualification", _("Papers that run out"), *_qualifications(membership), reverse("our_workshop")),
        _kind("calibration", _("Meters to calibrate"), *_calibrations(), reverse("instruments")),
    )
    return [kind for kind in kinds if kind.count]


def _kind(code: str, title: str, items: Iterable[Item], count: int, more_url: str) -> Kind:
    return Kind(code=code, title=title, items=tuple(items), count=count, more_url=more_url)


def _first(rows: Any) -> tuple[list[Any], int]:
    """The first rows of a kind, and how many there are: counted only where the first don't tell it."""
    found = list(rows[: MOST_OF_A_KIND + 1])
    return found[:MOST_OF_A_KIND], len(found) if len(found) <= MOST_OF_A_KIND else rows.count()


def _enquiries() -> tuple[Iterator[Item], int]:
    rows, count = _first(Enquiry.objects.filter(state=Enquiry.State.SENT).order_by("sent_at"))
    return (
        Item(
            kind="enquiry",
            about=f"{one.vehicle}, {one.get_work_wanted_display()}",
            todo=_("crash, water, smoke or smell: call the owner at once") if one.damaged else _("answer the owner"),
            url=reverse("enquiry", args=[one.pk]),
            label=_("Read the enquiry"),
            since=one.sent_at,
            pressing=one.damaged,
        )
        for one in rows
    ), count


def _second_looks(membership: Membership) -> tuple[Iterator[Item], int]:
    asked = SecondLook.objects.waiting_for(membership).select_related("asked_by_workshop")
    rows, count = _first(asked.order_by("lapses_on", "pk"))
    return (
        Item(
            kind="second_look",
            about=f"{one.asked_by_workshop}: {one.question}",
            todo=_("look at the copy and sign a remark"),
            url=reverse("second_look", args=[one.pk]),
            label=_("Look at it"),
            until=one.lapses_on,
        )
        for one in rows
    ), count


def _parts(membership: Membership) -> tuple[Iterator[Item], int]:
    """Accepted answers whose day of arrival has come."""
    accepted = Answer.objects.filter(
        state=Answer.State.ACCEPTED,
        request__state=PartRequest.State.ACCEPTED,
        request__asked_by_workshop=membership.workshop_id,
    ).select_related("request", "workshop")
    today = timezone.localdate()
    due = sorted((_arrives(one), one.pk, one) for one in accepted[:200])
    here = [(day, one) for day, _pk, one in due if day <= today]
    return (
        Item(
            kind="arrived",
            about=f"{one.request}, {one.workshop}",
            todo=_("look at the number and the marks, and keep what you saw"),
            url=reverse("request", args=[one.request_id]),
            label=_("Receive it"),
            until=day,
        )
        for day, one in here[:MOST_OF_A_KIND]
    ), len(here)


def _arrives(answer: Answer) -> datetime.date:
    accepted = timezone.localdate(answer.accepted_at or answer.answered_at)
    return accepted + datetime.timedelta(days=answer.days_to_arrive)


def _answers(membership: Membership) -> tuple[Iterator[Item], int]:
    standing = Q(answers__state=Answer.State.OFFERED, answers__workshop__state="approved")
    asked = PartRequest.objects.open().mine(membership).annotate(offers=Count("answers", filter=standing))
    rows, count = _first(asked.filter(offers__gt=0).order_by("asked_at"))
    return (
        Item(
            kind="answer",
            about=str(one),
            todo=_("one answer to compare") if one.offers == 1 else _("%(n)d answers to compare") % {"n": one.offers},
            url=reverse("request", args=[one.pk]),
            label=_("Compare the answers"),
            since=one.asked_at,
            pressing=one.off_road,
        )
        for one in rows
    ), count


def _jobs() -> tuple[Iterator[Item], int]:
    rows, count = _first(Job.objects.on_the_bench().with_facts().order_by("booked_in_at"))
    held = found_on(rows)
    estimates = {one.job_id: one for one in Estimate.objects.filter(job__in=rows).order_by("number")}  # the last counts
    return (_of_job(held[one.pk], estimates.get(one.pk)) for one in rows), count


def _stand_of(found: Found) -> str:
    """What keeps the car, by the last of fitting and proving that was signed."""
    job, stands = found.job, clearance(found.job, found)
    far = next((e.step for e in reversed(found.entries) if e.good and e.step in (Step.FITTED, Step.PROVED)), "")
    if job.in_quarantine:
        return _("Quarantine: keep it outside, apart from others, and watch its temperature")
    if far == Step.PROVED:
        return _("Proved: hand it over")
    if far == Step.FITTED:
        return _("Fitted: prove it, step by step")
    if job.cleared_at:
        return _("Fitting has begun: finish its steps")
    if stands.clear:
        return _("Clear: %(why)s; fit it") % {"why": stands.closed}
    return _("Hold: %(why)s") % {"why": stands.sentence}


def _of_job(found: Found, estimate: Estimate | None) -> Item:
    job, why = found.job, _stand_of(found)
    return Item(
        kind="job",
        about=f"{job.number}, {job.vehicle.description}",
        todo=f"{why} {_of_estimate(estimate)}".strip(),
        url=reverse("job", args=[job.pk]),
        label=_("Open the job"),
        since=job.booked_in_at,
        pressing=job.in_quarantine,
    )


def _of_estimate(estimate: Estimate | None) -> str:
    """What the owner hasn't agreed to; nothing where they have, or where no estimate was sent."""
    if estimate is None:
        return ""
    if estimate.lapsed:
        return _("Its estimate lapsed without an answer.")
    if estimate.waits:
        return _("Its estimate waits for the owner.")
    return _("The owner declined its estimate.") if estimate.state == Estimate.State.DECLINED else ""


def _follow_ups() -> tuple[Iterator[Item], int]:
    rows, count = _first(FollowUp.objects.waiting().select_related("repair__outcome").order_by("asked_at", "pk"))
    return (of_follow_up(one) for one in rows), count


def of_follow_up(one: FollowUp) -> Item:
    """A repair that we are asked about."""
    return Item(
        kind="follow_up",
        about=f"{one.repair.known_as}, {one.repair.outcome.symptom}",
        todo=_("%(n)d months on: one press answers") % {"n": one.month},
        url=reverse("follow_up", args=[one.pk]),
        label=_("Answer it"),
        since=one.asked_at,
    )


def _qualifications(membership: Membership) -> tuple[Iterator[Item], int]:
    """Verified papers of the workshop's own people that have run out or soon will."""
    soon = timezone.localdate() + datetime.timedelta(days=QUALIFICATION_DAYS)
    people = Membership.objects.able_to_act().filter(workshop=membership.workshop_id).values("person")
    held = Qualification.objects.filter(
        holder__in=people, state=Qualification.State.VERIFIED, expires_on__lte=soon
    ).select_related("holder")
    rows, count = _first(held.order_by("expires_on", "pk"))
    today = timezone.localdate()
    return (
        Item(
            kind="qualification",
            about=f"{one.holder}, {one.title}",
            todo=_("has run out: owners no longer find you by it")
            if one.expires_on < today
            else _("runs out: renew it"),
            url=reverse("our_workshop"),
            label=_("See the papers"),
            until=one.expires_on,
            pressing=one.expires_on < today,
        )
        for one in rows
    ), count


def _calibrations() -> tuple[Iterator[Item], int]:
    soon = timezone.localdate() + datetime.timedelta(days=CALIBRATION_DAYS)
    due = Q(calibration_due__isnull=True) | Q(calibration_due__lte=soon)
    rows, count = _first(Instrument.objects.filter(due).order_by("calibration_due", "pk"))
    return (
        Item(
            kind="calibration",
            about=f"{one.name}, {one.serial}",
            todo=_("its readings prove nothing until it is calibrated")
            if one.concerns()
            else _("its calibration runs out"),
            url=reverse("instrument", args=[one.pk]),
            label=_("Open the meter"),
            until=one.calibration_due,
            pressing=bool(one.concerns()),
        )
        for one in rows
    ), count
