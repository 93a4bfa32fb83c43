"""The rules of sourcing: asked, offered, accepted once, received and looked at."""

import pytest
from django.db import IntegrityError, transaction

from network.models import Event
from parts import sourcing
from parts.models import Answer, PartRequest
from tests.cast import make_administrator, make_answer, make_member, make_request

AS_ORDERED = {"number_as_ordered": True, "marks_as_ordered": True, "remark": ""}


def test_a_request_is_compared_by_its_normalised_number(board):
    made = make_request(board.asker, number="ln 27-411 0")
    assert (made.number, made.normalised) == ("ln 27-411 0", "LN274110")


def test_ones_own_request_cannot_be_answered(board):
    with pytest.raises(sourcing.CannotAnswer):
        make_answer(board.request, board.colleague)


def test_a_workshop_has_one_answer_at_a_time(board):
    make_answer(board.request, board.rureifel)
    with pytest.raises(sourcing.CannotAnswer):
        make_answer(board.request, make_member(board.rureifel.workshop))


def test_an_answer_taken_back_makes_room_for_another(board):
    wrong = make_answer(board.request, board.rureifel, price="34.00")
    assert sourcing.take_back(answer=wrong, by=board.rureifel)
    make_answer(board.request, board.rureifel, price="340.00")
    assert [one.state for one in board.request.answers.order_by("pk")] == ["withdrawn", "offered"]


def test_accepting_settles_the_request_and_every_answer(board):
    chosen, other = make_answer(board.request, board.rureifel), make_answer(board.request, board.moutfort)
    sourcing.accept(answer=chosen, by=board.asker)
    for row in (board.request, chosen, other):
        row.refresh_from_db()
    assert (board.request.state, chosen.state, other.state) == ("accepted", "accepted", "not_chosen")
    assert (chosen.accepted_by, bool(chosen.accepted_at)) == (board.asker.person, True)


def test_whoever_accepts_second_is_told_who_was_first(board):
    first, second = make_answer(board.request, board.rureifel), make_answer(board.request, board.moutfort)
    sourcing.accept(answer=first, by=board.asker)
    with pytest.raises(sourcing.AlreadySettled) as refused:
        sourcing.accept(answer=second, by=board.colleague)
    assert (refused.value.accepted, refused.value.accepted.accepted_by) == (first, board.asker.person)


def test_another_workshop_cannot_accept_receive_or_withdraw(board):
    answer = make_answer(board.request, board.rureifel)
    with pytest.raises(PartRequest.DoesNotExist):
        sourcing.accept(answer=answer, by=board.moutfort)
    with pytest.raises(sourcing.AlreadySettled):
        sourcing.receive(request=board.request, by=board.moutfort, **AS_ORDERED)
    assert not sourcing.withdraw(request=board.request, by=board.moutfort)
    assert not sourcing.take_back(answer=answer, by=board.moutfort)


def test_an_offer_taken_back_cannot_be_accepted_and_the_request_stays_open(board):
    answer = make_answer(board.request, board.rureifel)
    sourcing.take_back(answer=answer, by=board.rureifel)
    with pytest.raises(sourcing.NotOnOffer):
        sourcing.accept(answer=answer, by=board.asker)
    board.request.refresh_from_db()
    assert board.request.state == PartRequest.State.OPEN


def test_the_offer_of_a_suspended_workshop_cannot_be_accepted(board):
    answer = make_answer(board.request, board.rureifel)
    board.rureifel.workshop.suspend(by=make_administrator(), reason="Insurance ran out.")
    with pytest.raises(sourcing.NotOnOffer):
        sourcing.accept(answer=answer, by=board.asker)
    assert not board.request.answers.standing().exists()


def test_only_open_requests_are_answered(board):
    sourcing.accept(answer=make_answer(board.request, board.rureifel), by=board.asker)
    with pytest.raises(sourcing.CannotAnswer):
        make_answer(board.request, board.moutfort)


def test_a_decided_answer_cannot_be_taken_back(board):
    answer = make_answer(board.request, board.rureifel)
    sourcing.accept(answer=answer, by=board.asker)
    assert not sourcing.take_back(answer=answer, by=board.rureifel)


@pytest.mark.parametrize(("number", "marks"), [(True, True), (True, False), (False, True), (False, False)])
def test_received_as_ordered_needs_number_and_marks(board, number, marks):
    sourcing.accept(answer=make_answer(board.request, board.rureifel), by=board.asker)
    assert not board.request.received_as_ordered
    sourcing.receive(
        request=board.request, by=board.asker, number_as_ordered=number, marks_as_ordered=marks, remark="One dot."
    )
    board.request.refresh_from_db()
    assert board.request.received_as_ordered is (number and marks)


def test_a_part_is_received_once_and_only_when_something_is_due(board):
    with pytest.raises(sourcing.AlreadySettled):
        sourcing.receive(request=board.request, by=board.asker, **AS_ORDERED)
    sourcing.accept(answer=make_answer(board.request, board.rureifel), by=board.asker)
    sourcing.receive(request=board.request, by=board.asker, **AS_ORDERED)
    with pytest.raises(sourcing.AlreadySettled):
        sourcing.receive(request=board.request, by=board.colleague, **AS_ORDERED)


def test_withdrawing_ends_an_open_request_only(board):
    other = make_request(board.asker, number="LN 27 418")
    answer = make_answer(other, board.rureifel)
    assert sourcing.withdraw(request=other, by=board.colleague)
    answer.refresh_from_db()
    assert answer.state == Answer.State.NOT_CHOSEN
    assert not sourcing.withdraw(request=other, by=board.asker)


def test_every_step_leaves_an_event_by_whoever_took_it(board):
    sourcing.accept(answer=make_answer(board.request, board.rureifel), by=board.colleague)
    sourcing.receive(request=board.request, by=board.asker, **AS_ORDERED)
    events = Event.objects.filter(subject_type="parts.partrequest", subject_id=board.request.pk).order_by("pk")
    people = (board.asker, board.rureifel, board.colleague, board.colleague, board.asker)
    verbs = ("part_asked", "part_answered", "answer_accepted", "answer_not_chosen", "part_received")
    assert [(e.verb, e.by) for e in events] == [(v, m.person) for v, m in zip(verbs, people, strict=True)]


WRONG_ROWS = {
    "a second accepted answer": lambda a, b: Answer.objects.filter(pk=b.pk).update(
        state="accepted", accepted_at=a.accepted_at, accepted_by=a.accepted_by
    ),
    "accepted by nobody": lambda a, b: Answer.objects.filter(pk=a.pk).update(accepted_by=None),
    "a price below zero": lambda a, b: Answer.objects.filter(pk=b.pk).update(price=-1),
    "received without a look": lambda a, b: PartRequest.objects.filter(pk=a.request_id).update(state="received"),
    "a number without a sign": lambda a, b: PartRequest.objects.filter(pk=a.request_id).update(normalised=""),
    "no pieces": lambda a, b: PartRequest.objects.filter(pk=a.request_id).update(quantity=0),
}


@pytest.mark.parametrize("wrong", WRONG_ROWS)
def test_the_database_itself_refuses(board, wrong):
    chosen, other = make_answer(board.request, board.rureifel), make_answer(board.request, board.moutfort)
    sourcing.accept(answer=chosen, by=board.asker)
    chosen.refresh_from_db()
    with pytest.raises(IntegrityError), transaction.atomic():
        WRONG_ROWS[wrong](chosen, other)
