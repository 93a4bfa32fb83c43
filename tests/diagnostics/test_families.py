"""System families: every change is an event that the page shows; a limit is taken back only before it binds others."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from diagnostics.expected import beside, expected_of
from diagnostics.families import enter_fact, enter_family, enter_limit, found, history, take_back
from diagnostics.kind import Value
from diagnostics.kinds import all_kinds
from diagnostics.limits import limits_that_bind
from diagnostics.models import ExpectedReading, FamilyLimit, SystemFamily
from diagnostics.recording import Entry, judge
from network.access import acting_for
from network.models import Membership, Workshop
from tests.bench import INSULATION as INSULATION_TYPED
from tests.cast import Cast, make_cast, make_family, make_sheet

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
    take_back(wrong, by=cast.technician)
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
    assert take_back(limit, by=cast.technician) and not take_back(limit, by=cast.technician)
    assert not limit.confirm(by=cast.member_of_b)
    assert binding(limit, cast.a) == [5.0]


def test_a_confirmed_limit_stays_and_nobody_takes_back_another_ones(cast: Cast) -> None:
    limit = a_limit(cast.technician)
    assert not take_back(limit, by=cast.member_of_b)
    limit.confirm(by=cast.member_of_b)
    assert not take_back(limit, by=cast.technician)
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


def an_expected(by: Membership, family: SystemFamily, **changed: Any) -> ExpectedReading:
    facts = {"quantity": "insulation_resistance", "typical": 300, "low": 100, "high": 550, "unit": "megohm"} | changed
    hint = ExpectedReading(kind="winding_insulation", source="notes <b>14</b>", **facts)
    enter_fact(hint, family=family, by=by)
    return hint


def test_an_expected_reading_is_shown_to_its_own_workshop_and_once_confirmed_to_everybody(cast: Cast) -> None:
    family = enter_family(SystemFamily(**TEMPLATE), by=cast.technician)
    hint = an_expected(cast.technician, family)

    def shown(workshop: Workshop) -> int:
        with acting_for(workshop):
            return len(expected_of(INSULATION, family))

    assert (shown(cast.a), shown(cast.b)) == (1, 0)
    assert not hint.confirm(by=cast.technician) and hint.confirm(by=cast.member_of_b)
    assert (shown(cast.a), shown(cast.b)) == (1, 1)
    assert not take_back(hint, by=cast.technician)
    own = an_expected(cast.technician, family, typical=200)
    assert take_back(own, by=cast.technician) and shown(cast.a) == 1
    words = [line.words.split(":")[0] for line in history(family, shown_to=cast.a)]
    assert words[0] == "took its expected reading back" and words.count("entered an expected reading") == 2


@pytest.mark.parametrize(
    ("value", "bound", "stands"),
    [
        (300.0, None, ""), (90.0, None, "below"), (600.0, None, "above"), (550.0, "at_least", ""),
        (600.0, "at_least", "above"), (50.0, "at_least", ""), (600.0, "at_most", ""), (50.0, "at_most", "below"),
    ],
)  # fmt: skip
def test_a_reading_stands_beside_what_is_expected_and_its_verdict_is_the_same_without(
    cast: Cast, value: float, bound: str | None, stands: str
) -> None:
    family = enter_family(SystemFamily(**TEMPLATE), by=cast.technician)
    sheet = make_sheet(cast.technician, family=family)
    facts: dict[str, Any] = {
        "kind": INSULATION, "taken_by": cast.technician, "state": "bench", "subject": "1", "temperature_c": 40.0,
        "values": INSULATION_TYPED | {"resistance_megohm": Value(value, bound)},
    }  # fmt: skip
    with acting_for(cast.a):
        without = judge(Entry(sheet=sheet, **facts))
    an_expected(cast.technician, family)
    an_expected(cast.technician, family, quantity="resistance_megohm", typical=310)
    with acting_for(cast.a):
        reading, assessment = judge(Entry(sheet=sheet, **facts))
        shown = beside(expected_of(INSULATION, family), INSULATION, reading, assessment.findings)
    assert [one.stands for one in shown] == [stands, stands]
    assert (reading, assessment) == without


def test_the_form_hints_at_what_is_expected_with_its_source_escaped(cast: Cast, client: Client) -> None:
    family = enter_family(SystemFamily(**TEMPLATE), by=cast.technician)
    an_expected(cast.technician, family, quantity="resistance_megohm")
    sheet = make_sheet(cast.technician, family=family)
    client.force_login(cast.technician.person)
    text = client.get(reverse("record_new", args=[sheet.pk, "winding_insulation"])).content.decode()
    assert "typically 300 megohm, 100 megohm to 550 megohm (notes &lt;b&gt;14&lt;/b&gt;)" in text


def test_what_is_expected_lies_in_its_band(cast: Cast, client: Client) -> None:
    family = enter_family(SystemFamily(**TEMPLATE), by=cast.technician)
    client.force_login(cast.technician.person)
    typed = {
        "what": "winding_insulation:insulation_resistance",
        "typical": "99",
        "low": "100",
        "high": "550",
        "source": "n",
    }
    answer = client.post(reverse("expected_new", args=[family.pk]), typed)
    assert answer.status_code == 422 and "It lies between the two others" in answer.content.decode()
    assert client.post(reverse("expected_new", args=[family.pk]), typed | {"typical": "100"}).status_code == 302
    with pytest.raises(IntegrityError), transaction.atomic():
        ExpectedReading.objects.update(typical=5)
