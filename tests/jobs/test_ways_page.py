"""The page that compares ways: it starts from the answers, adds the network's chances, and says when they are too few."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Iterator
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs import choosing, following, sharing
from jobs.models import FollowedRepair, Job
from network.access import acting_for
from network.models import Membership
from tests.cast import Cast, make_answer, make_family, make_job, make_member, make_request, make_workshop


@pytest.fixture
def job(cast: Cast) -> Iterator[Job]:
    made = make_job(cast.technician, make_family(cast.a))
    request = make_request(cast.technician, job=made)
    make_answer(request, cast.member_of_b, "340.00", freight=Decimal("72.50"), days_to_arrive=7)
    with acting_for(cast.a):
        yield Job.objects.select_related("vehicle__family", "part_request").get(pk=made.pk)


def enter(members: list[Membership], method: str, came_back: int, ran: int) -> None:
    """So many repairs that came back after 5 months, and so many that ran after 30."""
    day = timezone.localdate() - datetime.timedelta(days=31 * 30)
    for number in range(came_back + ran):
        by = members[number % 3]
        with acting_for(by.workshop):
            outcome = sharing.share_earlier(
                by=by, symptom="Stops", cause="Switch burnt", repair_method=method, family=None, part_kind="inverter",
                repaired_on=day, known_as="book",
            )  # fmt: skip
            failed = number < came_back
            following.say(
                repair=FollowedRepair.objects.get(outcome=outcome), by=by,
                answer="same_fault" if failed else "still_runs",
                seen_on=following.months_after(day, 5 if failed else 30),
            )  # fmt: skip


def page(client: Client, job: Job, **asked: str) -> str:
    html = client.get(reverse("job_ways", args=[job.pk]), asked).content.decode()
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html.split("<main")[1].split("<form")[0]))


def test_the_form_starts_from_the_cheapest_answer_of_each_kind(cast: Cast, job: Job) -> None:
    found = choosing.offered(job, cast.a)
    assert found == {"used_near": {"landed": Decimal("412.50"), "days": 7, "who": "Hybridwerk Rureifel"}}


def test_with_numbers_it_names_the_way_and_without_it_says_they_are_too_few(
    cast: Cast, job: Job, client_of: Callable[..., Client]
) -> None:
    client = client_of(cast.technician)
    asked = {
        "cost_per_day": "45", "used_near_landed": "412.50", "used_near_days": "3", "board_repair_landed": "2000",
        "board_repair_days": "6",
    }  # fmt: skip
    assert "too few to tell which way costs least" in page(client, job, **asked)
    members = [cast.technician, cast.member_of_b, make_member(make_workshop("Atelier Moutfort"), name="Claude")]
    enter(members, "used_part_tested", 3, 7)
    enter(members, "board_repaired", 1, 9)
    told = page(client, job, **asked)
    # By hand: 412.50 + 3 * 45 = 547.50; 3 of 10 came back and all were followed: 547.50 * 1.3 = 711.75.
    assert "Used part nearby is expected to cost least: 711.75 EUR" in told
    assert "30 of 100" in told and "10 repairs by 3 workshops" in told and "all system families" in told


def test_the_cost_of_a_day_is_remembered_and_bad_figures_keep_their_place(
    cast: Cast, job: Job, client_of: Callable[..., Client]
) -> None:
    client, url = client_of(cast.technician), reverse("job_ways", args=[job.pk])
    client.get(url, {"cost_per_day": "47.50"})
    assert 'value="47.50"' in client.get(url).content.decode()
    wrong = client.get(url, {"cost_per_day": "-4", "rebuilt_landed": "x"})
    assert wrong.status_code == 422 and 'value="x"' in wrong.content.decode()
