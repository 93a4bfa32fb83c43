"""Papers that run out: their holder and the managers are told before and after, once each, and nobody in vain.

Sixty days before is the project's own rule (`network/showing.py`); common practice, no source.
"""

from __future__ import annotations

import datetime

import pytest
from django.core.management import call_command
from django.utils import timezone

from network.expiring import tell_of_papers
from network.models import Notice, Qualification, User
from tests.cast import Cast, make_qualification

pytestmark = pytest.mark.django_db


def paper(cast: Cast, days: int, covers: str = "inverter", **more: bool) -> Qualification:
    """A verified paper of A's technician that holds so many days more."""
    day = timezone.localdate() + datetime.timedelta(days=days)
    return make_qualification(cast.technician.person, [covers], expires_on=day, **more)


def told(verb: str) -> set[str]:
    return set(Notice.objects.filter(event__verb=verb).values_list("email", flat=True))


def test_holder_and_manager_are_told_once_before_it_runs_out(cast: Cast) -> None:
    Qualification.objects.all().delete()
    paper(cast, 59)
    call_command("deliver_notices", "--once")
    assert tell_of_papers() == 0  # the deliverer's sweep was first
    managers = User.objects.filter(memberships__workshop=cast.a, memberships__role="manager")
    assert cast.manager.person in managers and cast.member_of_b.person not in managers
    assert told("paper_runs_out_soon") == {cast.technician.person.email, *managers.values_list("email", flat=True)}
    words = Notice.objects.filter(event__verb="paper_runs_out_soon")[0]
    assert cast.technician.person.name in words.subject and "It covers inverters." in words.body


@pytest.mark.parametrize(
    ("days", "verb"), [(60, ""), (59, "paper_runs_out_soon"), (0, "paper_runs_out_soon"), (-1, "paper_ran_out")]
)
def test_the_last_day_still_counts(cast: Cast, days: int, verb: str) -> None:
    Qualification.objects.all().delete()
    paper(cast, days)
    assert tell_of_papers() == bool(verb)
    assert not verb or told(verb)


def test_it_is_told_again_once_it_has_run_out(cast: Cast) -> None:
    Qualification.objects.all().delete()
    paper(cast, 10)
    today = timezone.localdate()
    assert [tell_of_papers(today + datetime.timedelta(days=n)) for n in (0, 5, 11, 12)] == [1, 0, 1, 0]


@pytest.mark.parametrize(
    ("covers", "live", "said"), [("inverter", True, 0), ("inverter", False, 1), ("charging", True, 1)]
)
def test_a_later_paper_that_covers_all_of_it_says_nothing(cast: Cast, covers: str, live: bool, said: int) -> None:
    Qualification.objects.all().delete()
    paper(cast, 10, live_work=True)
    paper(cast, 400, covers, live_work=live)
    assert tell_of_papers() == said


def test_a_paper_that_nobody_verified_runs_out_unsaid(cast: Cast) -> None:
    Qualification.objects.update(state="claimed")
    assert tell_of_papers(timezone.localdate() + datetime.timedelta(days=4000)) == 0
