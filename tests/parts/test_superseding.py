"""Numbers follow each other: chains are walked, circles refused, a second workshop confirms or disputes."""

from __future__ import annotations

import itertools

import pytest
from django.db import IntegrityError, transaction

from network.models import Event, Membership
from parts import chains, entering, superseding
from parts.models import PartNumber, Supersession
from tests.cast import make_region
from tests.parts.conftest import Board


def number(text: str, by: Membership, **fields: str) -> PartNumber:
    facts = {"maker": "Lanner", "kind": "inverter", "description": "Inverter"} | fields
    return entering.enter_number(number=PartNumber(number=text, **facts), families=[], by=by)


def state(old: PartNumber, new: PartNumber, by: Membership, **fields: object) -> Supersession:
    facts = {"evidence": "Lanner parts bulletin 14-77"} | fields
    return superseding.state(statement=Supersession(old=old, new=new, **facts), by=by)


@pytest.fixture
def row(board: Board) -> list[PartNumber]:
    """Six numbers, each replaced by the next."""
    numbers = [number(f"LN 27 41{i}-0", board.asker) for i in range(6)]
    for old, new in itertools.pairwise(numbers):
        state(old, new, board.asker)
    return numbers


def test_the_last_of_a_chain_is_found_from_anywhere(row: list[PartNumber]) -> None:
    assert {chains.last_of(one.pk) for one in row} == {row[-1].pk}


def test_what_hangs_together_comes_nearest_first(row: list[PartNumber]) -> None:
    assert chains.connected(row[2].pk) == [row[i].pk for i in (2, 1, 3, 0, 4, 5)]


def test_a_circle_is_refused_with_the_way_round(row: list[PartNumber], board: Board) -> None:
    with pytest.raises(superseding.ClosesACircle) as refused:
        state(row[4], row[1], board.rureifel)
    assert [one.number for one in refused.value.way] == ["LN 27 411-0", "LN 27 412-0", "LN 27 413-0", "LN 27 414-0"]
    assert not Supersession.objects.filter(old=row[4], new=row[1]).exists()


def test_a_number_does_not_replace_itself(board: Board) -> None:
    one = number("LN 27 410-0", board.asker)
    with pytest.raises(superseding.ClosesACircle), transaction.atomic():
        state(one, one, board.asker)
    with pytest.raises(IntegrityError), transaction.atomic():
        state(one, one, board.asker, kind="instead", conditions="none known")


def test_two_regions_may_go_opposite_ways_and_both_are_shown_as_disputed(board: Board) -> None:
    one, other = number("LN 27 410-0", board.asker), number("LN 27 411-0", board.asker)
    first = state(one, other, board.asker, region=make_region("meuse"))
    second = state(other, one, board.asker, region=make_region("rur"))
    assert superseding.contradicting([first, second]) == {first.pk: second.pk, second.pk: first.pk}


def test_a_circle_through_everywhere_and_one_region_is_refused(board: Board) -> None:
    one, two, three = (number(f"LN 27 41{i}-0", board.asker) for i in range(3))
    state(one, two, board.asker, region=make_region("meuse"))
    state(two, three, board.asker)
    with pytest.raises(superseding.ClosesACircle):
        state(three, one, board.asker, region=make_region("meuse"))
    state(three, one, board.asker, region=make_region("rur"))


def test_a_circle_in_the_data_ends(row: list[PartNumber], board: Board) -> None:
    Supersession.objects.create(
        old=row[5], new=row[0], evidence="-", entered_by_workshop=board.asker.workshop, entered_by=board.asker.person
    )
    assert chains.last_of(row[0].pk) in {one.pk for one in row}
    assert len(chains.connected(row[0].pk)) == 6


def test_the_same_statement_twice_points_at_the_first(row: list[PartNumber], board: Board) -> None:
    with pytest.raises(superseding.StatedAlready) as refused:
        state(row[0], row[1], board.rureifel)
    assert refused.value.standing.entered_by_workshop == board.asker.workshop


def test_what_may_be_used_instead_goes_both_ways_and_names_conditions(board: Board) -> None:
    one, other = number("LN 27 410-0", board.asker), number("LN 27 410-9", board.asker)
    state(one, other, board.asker, kind="instead", conditions="with the old bracket")
    state(other, one, board.asker, kind="instead", conditions="none known")
    with pytest.raises(IntegrityError), transaction.atomic():
        state(one, other, board.asker, kind="instead", region=make_region("rur"))


def test_instead_of_what_does_not_fit_backwards_is_a_contradiction(board: Board) -> None:
    one, other = number("LN 27 410-0", board.asker), number("LN 27 411-0", board.asker)
    forward = state(one, other, board.asker, backwards="no")
    back = state(other, one, board.rureifel, kind="instead", conditions="none known")
    assert set(superseding.contradicting([forward, back])) == {forward.pk, back.pk}


def test_a_second_workshop_confirms_once(row: list[PartNumber], board: Board) -> None:
    said = Supersession.objects.get(old=row[0])
    assert not superseding.confirm(statement=said, by=board.colleague)
    assert superseding.confirm(statement=said, by=board.rureifel)
    assert not superseding.confirm(statement=said, by=board.moutfort)
    said.refresh_from_db()
    assert said.confirmed_by_workshop == board.rureifel.workshop
    assert Event.objects.filter(verb="supersession_confirmed").count() == 1


def test_a_dispute_stands_with_its_reason_until_it_is_lifted(row: list[PartNumber], board: Board) -> None:
    said = Supersession.objects.get(old=row[0])
    assert not superseding.dispute(statement=said, by=board.asker, reason="no")
    assert superseding.dispute(statement=said, by=board.rureifel, reason="the plug has six pins")
    assert not superseding.confirm(statement=said, by=board.rureifel)
    assert not superseding.lift(statement=said, by=board.moutfort)
    assert superseding.lift(statement=said, by=board.rureifel)
    said.refresh_from_db()
    assert not said.disputed


def test_whoever_stated_it_takes_it_back_and_the_chain_is_shorter(row: list[PartNumber], board: Board) -> None:
    said = Supersession.objects.get(old=row[3])
    assert not superseding.take_back(statement=said, by=board.rureifel)
    assert superseding.take_back(statement=said, by=board.colleague)
    assert chains.last_of(row[0].pk) == row[3].pk


def test_the_same_number_of_the_same_maker_is_known_already(board: Board) -> None:
    first = number("LN 27 410-0", board.asker)
    with pytest.raises(entering.KnownAlready) as known:
        number("ln27410 0", board.rureifel, maker="LANNER")
    assert known.value.known == first
    assert number("LN 27 410-0", board.rureifel, maker="Marsk").maker == "Marsk"
