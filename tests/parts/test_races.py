"""Two at once: one wins, the other is told; nothing is lost and nothing happens twice."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any

import pytest
from django.db import connections

from network.models import Notice
from parts import sourcing, superseding
from parts.models import Answer, PartNumber, Supersession
from parts.number_forms import SupersessionForm
from tests.cast import make_answer, make_member, make_number, make_statement
from tests.parts.conftest import make_board

pytestmark = pytest.mark.django_db(transaction=True)


def at_once(*calls: Callable[[], Any]) -> list[Any]:
    """Start all calls at the same moment, each in a thread with a connection of its own: results, or exceptions."""
    start, results = threading.Barrier(len(calls)), [None] * len(calls)

    def run(place: int, call: Callable[[], Any]) -> None:
        start.wait()
        try:
            results[place] = call()
        except Exception as error:
            results[place] = error
        finally:
            connections.close_all()

    threads = [threading.Thread(target=run, args=one) for one in enumerate(calls)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(30)
    return results


def test_of_two_acceptances_at_once_one_wins_and_the_other_is_told_who() -> None:
    board = make_board()
    first, second = make_answer(board.request, board.rureifel), make_answer(board.request, board.moutfort)
    results = at_once(
        lambda: sourcing.accept(answer=first, by=board.asker),
        lambda: sourcing.accept(answer=second, by=board.colleague),
    )
    winner = Answer.objects.get(request=board.request, state="accepted")
    (refused,) = [one for one in results if one is not None]
    assert isinstance(refused, sourcing.AlreadySettled), refused
    assert (refused.accepted, refused.accepted.accepted_by) == (winner, winner.accepted_by)
    assert Notice.objects.filter(event__verb="answer_accepted").count() == 1


def test_of_two_answers_of_one_workshop_at_once_one_is_kept() -> None:
    board = make_board()
    second = make_member(board.rureifel.workshop)
    results = at_once(
        lambda: make_answer(board.request, board.rureifel, "340.00"),
        lambda: make_answer(board.request, second, "350.00"),
    )
    assert sorted(type(one).__name__ for one in results) == ["Answer", "CannotAnswer"]
    assert board.request.answers.count() == 1


def test_an_answer_and_a_withdrawal_at_once_leave_no_open_offer() -> None:
    board = make_board()
    results = at_once(
        lambda: make_answer(board.request, board.rureifel),
        lambda: sourcing.withdraw(request=board.request, by=board.asker),
    )
    assert results[1] is True
    assert not board.request.answers.filter(state="offered").exists()


@pytest.mark.parametrize("_round", range(3))  # before the fix this went wrong every second time, on PostgreSQL
def test_taking_back_and_accepting_at_once_agree_on_one_of_them(_round: int) -> None:
    board = make_board()
    answer = make_answer(board.request, board.rureifel)
    taken, accepted = at_once(
        lambda: sourcing.take_back(answer=answer, by=board.rureifel),
        lambda: sourcing.accept(answer=answer, by=board.asker),
    )
    answer.refresh_from_db()
    board.request.refresh_from_db()
    assert (answer.state, board.request.state) == (("withdrawn", "open") if taken else ("accepted", "accepted"))
    assert isinstance(accepted, sourcing.NotOnOffer) is taken


@pytest.mark.parametrize("many", [2, 6])
def test_of_statements_that_close_a_circle_together_the_last_is_refused(many: int) -> None:
    board = make_board()
    round_numbers = [make_number(board.asker, f"LN 27 41{n}-0") for n in range(many)]
    members = [board.asker, board.rureifel, board.moutfort] * 2
    results = at_once(*[
        lambda n=n: make_statement(members[n], round_numbers[n], round_numbers[(n + 1) % many]) for n in range(many)
    ])  # fmt: skip
    kinds = sorted(type(one).__name__ for one in results)
    assert kinds == ["ClosesACircle", *["Supersession"] * (many - 1)], results
    assert Supersession.objects.standing().count() == many - 1
    assert superseding.contradicting(Supersession.objects.all()) == {}


def test_two_who_state_the_same_new_number_at_once_share_its_row() -> None:
    from parts.views.number_facts import _state

    board = make_board()
    this, that = make_number(board.asker, "LN 27 410-0"), make_number(board.asker, "LN 27 411-0")

    def state(number: PartNumber, by: Any) -> str:
        form = SupersessionForm(
            {"relation": "replaced_by", "other": "LN 27 499-0", "backwards": "unknown", "evidence": "bulletin"}, {}
        )
        assert form.is_valid(), form.errors
        _state(form, number, by)
        return "kept"

    assert at_once(lambda: state(this, board.asker), lambda: state(that, board.rureifel)) == ["kept", "kept"]
    assert PartNumber.objects.called("LN 27 499-0").count() == 1
