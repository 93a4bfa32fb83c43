"""Two at once: a date is asked once, and of two answers one is kept."""

from __future__ import annotations

import pytest
from django.utils import timezone

from jobs import following, sharing
from jobs.models import FollowUp, Outcome
from network.access import acting_for
from network.models import Event, Membership
from tests.cast import make_cast
from tests.parts.test_races import at_once

pytestmark = pytest.mark.django_db(transaction=True)


def test_two_sweepers_ask_once_and_of_two_answers_the_first_is_kept() -> None:
    cast = make_cast()
    with acting_for(cast.a):
        sharing.share_earlier(
            by=cast.technician, symptom="Stops", cause="Duct", repair_method="revised_part", family=None,
            part_kind="inverter", repaired_on=following.months_after(timezone.localdate(), -6), known_as="book 118",
        )  # fmt: skip
    assert sorted(at_once(following.ask_due, following.ask_due)) == [0, 1]
    assert Event.objects.filter(verb="follow_up_asked").count() == 1

    def answer(by: Membership, said: str) -> None:
        with acting_for(cast.a):
            asked = FollowUp.objects.waiting().select_related("repair").get()
            following.answer(follow_up=asked, answer=said, by=by)

    results = at_once(lambda: answer(cast.technician, "still_runs"), lambda: answer(cast.manager, "sold"))
    (refused,) = [one for one in results if one is not None]
    assert isinstance(refused, following.CannotBeSaid | FollowUp.DoesNotExist), refused
    assert Event.objects.filter(verb="follow_up_said").count() == 1
    assert Outcome.objects.get().ended_as in ("", "sold")
