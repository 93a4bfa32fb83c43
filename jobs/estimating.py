"""Estimates: written by the workshop, sent to the owner, agreed to or declined through the owner's private link.

A version that was sent never changes. Whatever changes the work or its price is a new version, which needs a new
answer; until the owner agrees to it, the one they agreed to before stands. What the owner answers is kept with the
whole text that they saw. Beyond the agreed total nothing is hidden: it is said first (`standing`).
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import F, Max
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from diagnostics.chain import hash_of
from jobs import estimate_words
from jobs.models import Estimate, EstimateAnswer, EstimateLine, Job, UsedLine
from jobs.owner_link import path_for_job
from jobs.telling_owner import tell_owner
from network.models import Event, Membership, User
from network.telling import tell

HOLDS_DAYS = 14  # to begin with; common practice, no source
MOST_LINES = 60


class CannotBe(Exception):
    """It can't be done now; the text is the sentence that says why."""


class Overtaken(Exception):
    """Somebody else changed it first."""


@transaction.atomic
def begin(*, job: Job, by: Membership) -> Estimate:
    """The draft of the next version: the one that is being written, or a new one with the lines of the last."""
    Job.objects.select_for_update().get(pk=job.pk)  # two who begin get one draft
    if job.handed_over_at:
        raise CannotBe(_("This job was handed over; there is nothing left to estimate."))
    versions = list(Estimate.objects.filter(job=job).order_by("number"))
    if versions and versions[-1].state == Estimate.State.DRAFT:
        return versions[-1]
    last = versions[-1] if versions else None
    draft = Estimate(
        job=job,
        number=last.number + 1 if last else 1,
        currency=by.workshop.currency,
        words=last.words if last else "",
        holds_until=timezone.localdate() + datetime.timedelta(days=HOLDS_DAYS),
        made_by=by.person,
    )
    draft.save()
    if last and last.currency == draft.currency:
        EstimateLine.objects.bulk_create([_copied(line, estimate=draft) for line in last.lines.all()])
    Event.record("estimate_begun", draft, by=by.person, workshop=by.workshop, version=draft.number)
    return draft


def _copied(line: Any, **owner: Any) -> EstimateLine:
    names = ("position", "kind", "words", "part_number", "quantity", "price", "tax_percent")
    return EstimateLine(**{name: getattr(line, name) for name in names}, **owner)


@transaction.atomic
def keep(
    *,
    estimate: Estimate,
    lines: Sequence[dict[str, Any]],
    words: str,
    holds_until: datetime.date,
    seen: int,
    by: Membership,
) -> None:
    """Write a draft as it was typed. Raises Overtaken where somebody kept it since, or sent it."""
    changed = Estimate.objects.filter(pk=estimate.pk, state=Estimate.State.DRAFT, edit=seen).update(
        words=words, holds_until=holds_until, edit=F("edit") + 1
    )
    if not changed:
        raise Overtaken
    EstimateLine.objects.filter(estimate=estimate.pk).delete()
    EstimateLine.objects.bulk_create(
        [EstimateLine(estimate=estimate, position=number, **line) for number, line in enumerate(lines, start=1)]
    )
    Event.record("estimate_kept", estimate, by=by.person, workshop=by.workshop, version=estimate.number)


@transaction.atomic
def send(*, estimate: Estimate, seen: int, by: Membership) -> None:
    """Freeze a draft and show it to the owner, who is told by mail; an earlier one that waits is replaced by it."""
    Job.objects.select_for_update().get(pk=estimate.job_id)
    sums = estimate_words.of_estimate(estimate)
    if not sums.rows:
        raise CannotBe(_("There is no line yet: write one first."))
    if sums.total < 0:
        raise CannotBe(_("The total is below zero; look at what is taken off."))
    if estimate.holds_until < timezone.localdate():
        raise CannotBe(_("The day until which it holds has gone by; choose a later one."))
    Estimate.objects.filter(job=estimate.job_id, state=Estimate.State.SENT).update(state=Estimate.State.REPLACED)
    sent = Estimate.objects.filter(pk=estimate.pk, state=Estimate.State.DRAFT, edit=seen).update(
        state=Estimate.State.SENT,
        total=int(sums.total.scaleb(sums.decimals)),
        sent_by=by.person,
        sent_at=timezone.now(),
    )
    if not sent:
        raise Overtaken
    path = path_for_job(estimate.job, "car_estimate", number=estimate.number)
    tell_owner(estimate.job, "estimate_sent", by, path=path)
    Event.record("estimate_version_sent", estimate, by=by.person, workshop=by.workshop, version=estimate.number)


@transaction.atomic
def drop(*, estimate: Estimate, by: Membership) -> None:
    """Throw a draft away. Raises Overtaken where it is none any more."""
    if not Estimate.objects.filter(pk=estimate.pk, state=Estimate.State.DRAFT).delete()[0]:
        raise Overtaken
    Event.record("estimate_dropped", estimate.job, by=by.person, workshop=by.workshop, version=estimate.number)


@transaction.atomic
def take_back(*, estimate: Estimate, by: Membership) -> None:
    """The workshop takes back what the owner hasn't answered. Raises Overtaken where they just did."""
    if not Estimate.objects.filter(pk=estimate.pk, state=Estimate.State.SENT).update(state=Estimate.State.TAKEN_BACK):
        raise Overtaken
    Event.record("estimate_taken_back", estimate, by=by.person, workshop=by.workshop, version=estimate.number)


@transaction.atomic
def answer(*, estimate: Estimate, agreed: bool, name: str, text: str, reason: str = "") -> EstimateAnswer:
    """The owner answers, by their private link; the workshop's people are told. Raises Overtaken: it no longer waits.

    `text` is the whole text that the page showed; whoever calls has compared its digest with the one that was sent.
    """
    state = Estimate.State.AGREED if agreed else Estimate.State.DECLINED
    if not Estimate.objects.filter(pk=estimate.pk).answerable().update(state=state):
        raise Overtaken
    said = EstimateAnswer(estimate=estimate, agreed=agreed, name=name, reason=reason, text=text, digest=hash_of(text))
    said.save()
    verb = "estimate_agreed" if agreed else "estimate_declined"
    tell(
        Event.record(verb, estimate, workshop=estimate.workshop, version=estimate.number, digest=said.digest),
        people=User.objects.filter(memberships__in=estimate.workshop.memberships.able_to_act()),
        template=f"mail/{verb}.txt",
        facts={"estimate": estimate, "job": estimate.job},  # nothing that the owner typed
        path=f"/jobs/{estimate.job_id}/estimate/",
    )
    return said


@transaction.atomic
def note_used(*, job: Job, lines: Sequence[dict[str, Any]], seen: int, by: Membership) -> None:
    """Write anew what was really done and fitted. Raises Overtaken where somebody wrote it since."""
    Job.objects.select_for_update().get(pk=job.pk)
    if used_stand(job) != seen:
        raise Overtaken
    facts = {"job": job, "currency": used_currency(job, by), "noted_by": by.person}
    UsedLine.objects.filter(job=job).delete()
    UsedLine.objects.bulk_create(
        [UsedLine(position=number, **facts, **line) for number, line in enumerate(lines, start=1)]
    )
    Event.record("used_noted", job, by=by.person, workshop=by.workshop, lines=len(lines))


def used_stand(job: Job) -> int:
    """Which writing of the list this is: its newest row, 0 while there is none."""
    return UsedLine.objects.filter(job=job).aggregate(last=Max("pk"))["last"] or 0


def used_currency(job: Job, by: Membership) -> str:
    """What is used is counted in the currency of what was agreed, so that both can be compared."""
    agreed = Estimate.objects.filter(job=job, state=Estimate.State.AGREED).last()
    return agreed.currency if agreed else by.workshop.currency


@dataclass(frozen=True, kw_only=True)
class Standing:
    """How a job stands between workshop and owner: what they agreed to, what waits, what was used."""

    versions: list[Estimate]
    used: estimate_words.Reckoned | None

    @property
    def last(self) -> Estimate | None:
        return self.versions[-1] if self.versions else None

    @property
    def agreed(self) -> Estimate | None:
        """The version in force: the last one that the owner agreed to."""
        return next((one for one in reversed(self.versions) if one.state == Estimate.State.AGREED), None)

    @property
    def waits(self) -> Estimate | None:
        return next((one for one in self.versions if one.waits), None)

    @property
    def beyond(self) -> Decimal | None:
        """How much the used lines come to beyond what was agreed; None where they don't."""
        if self.used is None or (self.agreed and self.agreed.currency != self.used.currency):
            return None
        over = self.used.total - (self.agreed.amount if self.agreed else 0)
        return over if over > 0 else None

    @property
    def sentence(self) -> str:
        """How it stands, in one sentence."""
        last = self.last
        if last is None:
            return _("none made yet; the owner has agreed to no amount")
        said = _of_version(last)
        if self.agreed and self.agreed is not last:
            said += " " + _("Until then version %(n)d stands, agreed: %(total)s.") % {
                "n": self.agreed.number, "total": money(self.agreed),
            }  # fmt: skip
        return said

    @property
    def beyond_sentence(self) -> str:
        """Said first, where the work went beyond what was agreed; else empty."""
        if self.used is None or self.beyond is None:
            return ""
        facts = {"over": estimate_words.money_words(self.beyond, self.used.currency)}
        if self.agreed is None:
            return _("Work of %(over)s is noted, and the owner has agreed to no estimate.") % facts
        return _("%(over)s beyond what the owner agreed to: send a new estimate before you go on.") % facts


def standing(job: Job) -> Standing:
    """Read with three queries."""
    versions = list(Estimate.objects.filter(job=job).select_related("answer").order_by("number"))
    used = list(UsedLine.objects.filter(job=job))
    return Standing(versions=versions, used=estimate_words.reckoned(used, used[0].currency) if used else None)


def money(estimate: Estimate) -> str:
    return estimate_words.money_words(estimate.amount, estimate.currency)


def _of_version(one: Estimate) -> str:
    facts = {"n": one.number, "total": "" if one.total is None else money(one)}
    facts["until"] = date_format(one.holds_until, "DATE_FORMAT")
    if one.state in (Estimate.State.AGREED, Estimate.State.DECLINED):
        facts["day"] = date_format(timezone.localtime(one.answer.said_at), "DATE_FORMAT")
    match one.state:
        case Estimate.State.DRAFT:
            return _("Version %(n)d is a draft; the owner hasn’t seen it.") % facts
        case Estimate.State.AGREED:
            return _("The owner agreed to version %(n)d on %(day)s: %(total)s.") % facts
        case Estimate.State.DECLINED:
            return _("The owner declined version %(n)d on %(day)s.") % facts
        case Estimate.State.TAKEN_BACK:
            return _("Version %(n)d was taken back.") % facts
    if one.lapsed:
        return _("Version %(n)d lapsed on %(until)s without an answer; send it anew.") % facts
    return _("Version %(n)d (%(total)s) waits for the owner’s answer, until %(until)s.") % facts
