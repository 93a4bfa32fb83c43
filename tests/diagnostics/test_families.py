"""System families: every change is an event that the page shows; a limit is taken back only before it binds others."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from diagnostics.families import enter_family, enter_limit, found, history, take_limit_back
from diagnostics.kinds import all_kinds
from diagnostics.limits import limits_that_bind
from diagnostics.models import FamilyLimit, SystemFamily
from network.access import acting_for
from network.models import Membership, Workshop
from tests.cast import Cast, make_cast, make_family

pytestmark = pytest.mark.django_db
INSULATION = all_kinds()["winding_insulation"]
TEMPLATE = {
    "maker": "Tarnholt", "name": "Tarsis H (TH 3)", "drive": "hybrid", "nominal_v": 270, "highest_working_v": 500,
    "chemistry": "lithium_ion", "blocks": 72, "rated_ah": 5.0, "machines": 1, "machine_type": "induction",
    "connection": "delta",
}  # fmt: skip


@pytest.fixture(scope="module")
def cast(django_db_setup: None, django_db_blocker: Any) -> Iterator[Cast]:
    with django_db_blocker.unblock(), transaction.atomic():
        yield make_cast()
        transaction.set_rollback(True)


def a_limit(by: Membership, family: SystemFamily | None = None, value: float = 20) -> FamilyLimit:
    limit = FamilyLimit(
        kind="winding_insulation", quantity="insulation_resistance", shape="minimum", value=value, unit="megohm",
        source="Tarnholt 31-209", authority="maker",
    )  # fmt: skip
    return enter_limit(limit, family=family or enter_family(SystemFamily(**TEMPLATE), by=by), by=by)


def binding(limit: FamilyLimit, workshop: Workshop) -> list[float]:
    with acting_for(workshop):
        return [one.value for one in limits_that_bind(INSULATION, limit.family)["insulation_resistance"]]


def test_every_change_is_on_the_page_with_who_when_and_what(cast: Cast, client: Client) -> None:
    limit = a_limit(cast.technician)
    limit.confirm(by=cast.member_of_b)
    wrong = a_limit(cast.technician, limit.family, value=2)
    take_limit_back(wrong, by=cast.technician)
    lines = history(limit.family, shown_to=cast.a)
    assert [line.words.split(":")[0] for line in reversed(lines)] == [
        "entered the family", "entered a limit", "confirmed a limit from its own copy", "entered a limit",
        "took its limit back",
    ]  # fmt: skip
    client.force_login(cast.technician.person)
    page = client.get(reverse("family", args=[limit.family_id])).content.decode()
    for words in ("Who changed what", str(cast.b), "20.0 megohm", "Tarnholt 31-209", str(timezone.localdate().year)):
        assert words in page, words


def test_people_of_another_workshop_are_not_named_in_the_history(cast: Cast) -> None:
    limit = a_limit(cast.technician)
    limit.confirm(by=cast.member_of_b)
    assert {line.person for line in history(limit.family, shown_to=cast.b)} == {"", cast.member_of_b.person.name}


def test_before_a_second_workshop_confirms_a_limit_binds_its_own_and_then_everybody(cast: Cast) -> None:
    limit = a_limit(cast.technician)
    assert (binding(limit, cast.a), binding(limit, cast.b)) == ([20.0], [5.0])  # 5: IEEE 43-2013 Table 3, as quoted
    limit.confirm(by=cast.member_of_b)
    assert binding(limit, cast.a) == binding(limit, cast.b) == [5.0, 20.0]


def test_a_limit_that_was_taken_back_binds_nobody_and_is_confirmed_by_nobody(cast: Cast) -> None:
    limit = a_limit(cast.technician)
    assert take_limit_back(limit, by=cast.technician) and not take_limit_back(limit, by=cast.technician)
    assert not limit.confirm(by=cast.member_of_b)
    assert binding(limit, cast.a) == [5.0]


def test_a_confirmed_limit_stays_and_nobody_takes_back_another_ones(cast: Cast) -> None:
    limit = a_limit(cast.technician)
    assert not take_limit_back(limit, by=cast.member_of_b)
    limit.confirm(by=cast.member_of_b)
    assert not take_limit_back(limit, by=cast.technician)
    with pytest.raises(IntegrityError), transaction.atomic():
        FamilyLimit.objects.filter(pk=limit.pk).update(taken_back_at=timezone.now())


@pytest.mark.parametrize("words", ["tarnholt", "Tarsis", "tarsis tarnholt", "TH 3", "  holt  H "])
def test_a_family_is_found_by_any_words_of_maker_and_name(cast: Cast, words: str) -> None:
    make_family(cast.a)
    family = enter_family(SystemFamily(**TEMPLATE), by=cast.technician)
    assert list(found(words)) == [family]


def test_words_that_no_family_has_find_none_and_no_words_find_all(cast: Cast) -> None:
    make_family(cast.a)
    assert found("Lanner Tarsis").count() == 0 and found("").count() == 1
