"""Follow repairs: ask the workshop at 3, 6, 12 and 24 months, and keep on the shared outcome how long it lasted.

Each date is asked once. Where several dates of one repair have come since somebody last looked (the sweeper stood
still), only the latest is asked and the others count as missed. The same fault, a related and an unrelated one, a
sale and a scrapping end the following; after "we don't know" the repair counts as followed until it was last seen.
Durations are completed calendar months from the day of the handover.
"""

from __future__ import annotations

import calendar
import datetime
from itertools import groupby

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from jobs.models import FollowedRepair, FollowUp, Job, Outcome, Vehicle
from network.access import acting_for
from network.models import Event, Membership, User, Workshop
from network.telling import tell

MONTHS = (3, 6, 12, 24)
ENDS = frozenset(Outcome.Ended.values)


class CannotBeSaid(Exception):
    """What was said can't be kept; the text is the sentence that says why."""


def months_after(day: datetime.date, months: int) -> datetime.date:
    """The same day so many calendar months on, or the last day of a month that is too short for it."""
    years, month = divmod(day.month - 1 + months, 12)
    last = calendar.monthrange(day.year + years, month + 1)[1]
    return datetime.date(day.year + years, month + 1, min(day.day, last))


def completed_months(start: datetime.date, end: datetime.date) -> int:
    """How many calendar months were completed from one day to the other; 0 on the day itself."""
    months = (end.year - start.year) * 12 + end.month - start.month
    return months if months_after(start, months) <= end else months - 1


def begin(*, outcome: Outcome, repaired_on: datetime.date, known_as: str) -> FollowedRepair:
    """Follow a repair from its day on. Dates that lie behind are not asked any more."""
    repair = FollowedRepair(outcome=outcome, repaired_on=repaired_on, known_as=known_as)
    repair.save()
    dates = {month: months_after(repaired_on, month) for month in MONTHS}
    today = timezone.localdate()
    FollowUp.objects.bulk_create(
        [FollowUp(repair=repair, month=month, due_on=day) for month, day in dates.items() if day >= today]
    )
    return repair


def ask_due(on: datetime.date | None = None) -> int:
    """Ask every approved workshop about the repairs whose date has come; returns how many were asked."""
    day = on or timezone.localdate()
    asked = 0
    for workshop in Workshop.objects.public().order_by("pk"):
        with acting_for(workshop):
            due = FollowUp.objects.due(day).select_related("repair__outcome__family").order_by("repair", "month")
            for _repair, dates in groupby(due, key=lambda one: one.repair_id):
                asked += _ask(list(dates), workshop)
    return asked


@transaction.atomic
def _ask(dates: list[FollowUp], workshop: Workshop) -> bool:
    """Ask the last of a repair's dates; the others are missed. False where another process was first."""
    *behind, last = dates
    FollowUp.objects.filter(pk__in=[one.pk for one in behind], asked_at__isnull=True).update(missed=True)
    won = FollowUp.objects.filter(pk=last.pk, asked_at__isnull=True, missed=False).update(asked_at=timezone.now())
    if not won:
        return False
    event = Event.record("follow_up_asked", last, workshop=workshop, month=last.month)
    tell(
        event,
        people=User.objects.filter(memberships__in=workshop.memberships.able_to_act()),
        template="mail/follow_up_asked.txt",
        facts={"follow_up": last, "repair": last.repair, "outcome": last.repair.outcome},
        path=f"/follow-ups/{last.pk}/",
    )
    return True


@transaction.atomic
def answer(
    *,
    follow_up: FollowUp,
    answer: str,
    by: Membership,
    seen_on: datetime.date | None = None,
    odometer_km: int | None = None,
) -> None:
    """Say how a repair stands, on a date that was asked. Raises CannotBeSaid, also for whoever is second."""
    _note(follow_up.repair, follow_up, answer, by, seen_on, odometer_km)


@transaction.atomic
def say(
    *,
    repair: FollowedRepair,
    answer: str,
    by: Membership,
    seen_on: datetime.date | None = None,
    odometer_km: int | None = None,
) -> FollowUp:
    """Say how a repair stands without being asked: a car that comes back does not wait for a date."""
    unasked = FollowUp(repair=repair)
    unasked.save()
    _note(repair, unasked, answer, by, seen_on, odometer_km)
    return unasked


def _note(
    repair: FollowedRepair,
    follow_up: FollowUp,
    said: str,
    by: Membership,
    seen_on: datetime.date | None,
    odometer_km: int | None,
) -> None:
    outcome = Outcome.objects.select_for_update().get(pk=repair.outcome_id)  # one at a time for each repair
    day = seen_on or timezone.localdate()
    if not outcome.stands:
        raise CannotBeSaid(_("This outcome is no longer shared; nothing more is kept of it."))
    if not repair.repaired_on <= day <= timezone.localdate():
        raise CannotBeSaid(
            _("The day must lie between the handover on %(first)s and today.") % {"first": repair.repaired_on}
        )
    if outcome.ended_as:
        raise CannotBeSaid(
            _("The following of this repair has ended: %(how)s. Take that back first if it is wrong.")
            % {"how": outcome.get_ended_as_display()}
        )
    kept = FollowUp.objects.filter(pk=follow_up.pk, answer="").update(
        answer=said, seen_on=day, odometer_km=odometer_km, answered_by=by.person, answered_at=timezone.now()
    )
    if not kept:
        raise CannotBeSaid(_("Somebody has answered this already. Take that answer back first if it is wrong."))
    if odometer_km is not None:
        _note_odometer(outcome, odometer_km)
    _count(repair)
    Event.record("follow_up_said", follow_up, by=by.person, workshop=by.workshop, answer=said)


def _note_odometer(outcome: Outcome, odometer_km: int) -> None:
    """The newer reading of the car, which is the workshop's own; the shared outcome gets none."""
    vehicles = Job.objects.filter(outcome=outcome).values("vehicle")
    Vehicle.objects.filter(pk__in=vehicles, odometer_km__lt=odometer_km).update(odometer_km=odometer_km)


@transaction.atomic
def take_back_answer(*, follow_up: FollowUp, by: Membership) -> bool:
    """What was said was wrong: it counts no more, and the date can be answered again."""
    repair = follow_up.repair
    Outcome.objects.select_for_update().get(pk=repair.outcome_id)
    said = follow_up.answer
    changed = (
        FollowUp.objects.filter(pk=follow_up.pk)
        .exclude(answer="")
        .update(answer="", seen_on=None, odometer_km=None, answered_by=None, answered_at=None)
    )
    if changed:
        _count(repair)
        Event.record("follow_up_taken_back", follow_up, by=by.person, workshop=by.workshop, answer=said)
    return bool(changed)


def _count(repair: FollowedRepair) -> None:
    """Put on the shared outcome what all the answers say together: the first that ends it, else when it last ran."""
    answers = list(FollowUp.objects.filter(repair=repair).said().order_by("seen_on", "pk"))
    end = next((one for one in answers if one.answer in ENDS), None)
    seen = [one.seen_on for one in answers if one.answer == FollowUp.Answer.STILL_RUNS]
    last = end.seen_on if end else max(seen, default=repair.repaired_on)
    Outcome.objects.filter(pk=repair.outcome_id).update(
        followed_months=completed_months(repair.repaired_on, last), ended_as=end.answer if end else ""
    )
