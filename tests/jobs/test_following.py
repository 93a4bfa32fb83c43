"""Repairs are asked about once a date, and what is said becomes completed months on the shared outcome."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from typing import Any

import pytest
from dateutil.relativedelta import relativedelta
from django.core.management import call_command
from django.utils import timezone
from hypothesis import given
from hypothesis import strategies as st

from jobs import following, sharing
from jobs.models import FollowedRepair, FollowUp, Outcome
from network.access import acting_for
from network.management.commands.deliver_notices import SweptToo
from network.models import Event, Membership, Notice
from tests.cast import Cast, make_job, make_member

DAYS = st.dates(datetime.date(1990, 1, 1), datetime.date(2090, 12, 31))
WORDS = {"symptom": "Stops uphill", "cause": "Fan duct blocked", "repair_method": "used_part_tested"}


@given(first=DAYS, second=DAYS)
def test_completed_months_are_those_of_dateutil(first: datetime.date, second: datetime.date) -> None:
    start, end = sorted((first, second))
    passed = relativedelta(end, start)  # the calendar arithmetic of python-dateutil
    assert following.completed_months(start, end) == passed.years * 12 + passed.months
    assert following.months_after(start, 24) == start + relativedelta(months=24)


@pytest.fixture
def member(cast: Cast) -> Iterator[Membership]:
    with acting_for(cast.a):
        yield cast.technician


def months_ago(months: int, days: int = 0) -> datetime.date:
    return timezone.localdate() - relativedelta(months=months) - datetime.timedelta(days=days)


def shared(member: Membership, repaired_on: datetime.date) -> FollowedRepair:
    outcome = sharing.share_earlier(
        by=member, **WORDS, family=None, part_kind="inverter", repaired_on=repaired_on, known_as="book 118"
    )
    return FollowedRepair.objects.get(outcome=outcome)


def stands(repair: FollowedRepair) -> tuple[int, str]:
    return Outcome.objects.values_list("followed_months", "ended_as").get(pk=repair.outcome_id)


def tomorrow_in(months: int) -> datetime.date:
    return timezone.localdate() + relativedelta(months=months)


def test_each_date_is_asked_once_and_everybody_of_the_workshop_is_told(member: Membership) -> None:
    manager = make_member(member.workshop, "manager")
    shared(member, timezone.localdate())
    for months, asked in ((2, 0), (3, 1), (3, 0), (6, 1), (12, 1), (24, 1), (36, 0)):
        assert following.ask_due(tomorrow_in(months)) == asked, months
    told = Notice.objects.filter(event__verb="follow_up_asked")
    assert told.filter(person=member.person).count() == told.filter(person=manager.person).count() == 4
    assert "book 118" in told.first().subject and "/follow-ups/" in told.first().path  # type: ignore[union-attr]


def test_of_several_dates_that_were_missed_only_the_latest_is_asked(member: Membership) -> None:
    shared(member, timezone.localdate())
    assert following.ask_due(tomorrow_in(13)) == 1
    assert list(FollowUp.objects.filter(missed=True).values_list("month", flat=True)) == [3, 6]
    assert [one.month for one in FollowUp.objects.waiting()] == [12]
    assert following.ask_due(tomorrow_in(13)) == 0


def test_dates_before_it_was_shared_are_not_asked_and_nothing_is_once_it_ended(member: Membership) -> None:
    repair = shared(member, months_ago(7))
    assert list(repair.follow_ups.values_list("month", flat=True)) == [12, 24]
    following.say(repair=repair, answer="sold", by=member)
    assert following.ask_due(tomorrow_in(36)) == 0


def test_the_command_and_the_deliverer_ask_without_a_broker(member: Membership, capsys: Any) -> None:
    shared(member, months_ago(6))
    call_command("ask_outcomes")
    assert capsys.readouterr().out.strip() == "1 asked"
    shared(member, months_ago(12))
    SweptToo().run()
    assert Event.objects.filter(verb="follow_up_asked").count() == 2


@pytest.mark.parametrize("ended", ["same_fault", "related", "unrelated", "sold", "scrapped"])
def test_the_following_ends_on_the_day_that_is_named(member: Membership, ended: str) -> None:
    repair = shared(member, months_ago(10))
    following.say(repair=repair, answer=ended, by=member, seen_on=months_ago(10) + relativedelta(months=4))
    assert stands(repair) == (4, ended)
    with pytest.raises(following.CannotBeSaid, match="has ended"):
        following.say(repair=repair, answer="still_runs", by=member)


def test_after_we_dont_know_it_counts_as_followed_until_it_was_last_seen(member: Membership) -> None:
    repair = shared(member, months_ago(10))
    following.say(repair=repair, answer="still_runs", by=member, seen_on=months_ago(4, days=1))
    following.say(repair=repair, answer="dont_know", by=member)
    assert stands(repair) == (5, "")


def test_an_answer_is_given_once_and_what_was_wrong_can_be_taken_back(member: Membership) -> None:
    repair = shared(member, months_ago(6))
    following.ask_due()
    asked = FollowUp.objects.waiting().select_related("repair").get()
    following.answer(follow_up=asked, answer="dont_know", by=member)
    with pytest.raises(following.CannotBeSaid, match="answered this already"):
        following.answer(follow_up=asked, answer="still_runs", by=member)
    asked.refresh_from_db()
    assert following.take_back_answer(follow_up=asked, by=member)
    following.answer(follow_up=asked, answer="still_runs", by=member)
    assert stands(repair) == (6, "")


def test_no_day_before_the_handover_and_none_to_come(member: Membership) -> None:
    repair = shared(member, months_ago(6))
    for day in (months_ago(6, days=1), timezone.localdate() + datetime.timedelta(days=1)):
        with pytest.raises(following.CannotBeSaid, match="between the handover"):
            following.say(repair=repair, answer="still_runs", by=member, seen_on=day)
    assert stands(repair) == (0, "")


def test_the_odometer_stays_with_the_workshop(member: Membership) -> None:
    job = make_job(member)
    type(job).objects.filter(pk=job.pk).update(handed_over_at=timezone.now() - datetime.timedelta(days=100))
    outcome = sharing.share(job=job, by=member, **WORDS)
    repair = FollowedRepair.objects.get(outcome=outcome)
    following.say(repair=repair, answer="still_runs", by=member, odometer_km=191_007)
    outcome.refresh_from_db()
    job.vehicle.refresh_from_db()
    assert job.vehicle.odometer_km == 191_007 and outcome.followed_months == 3
    assert "191007" not in str({f.name: getattr(outcome, f.attname) for f in outcome._meta.concrete_fields})
