"""Who is told of what: notice rows, written with what caused them and gone with it."""

import pytest
from django.db import transaction

from network.models import Membership, Notice, Workshop
from parts import sourcing
from tests.cast import make_administrator, make_answer, make_member, make_region, make_request, make_workshop
from tests.parts.conftest import told


def test_managers_in_the_chosen_regions_are_told_but_not_the_own(board):
    make_member(board.rureifel.workshop, name="Tim Technik")
    Notice.objects.all().delete()
    make_request(board.asker, [make_region("meuse"), make_region("rur")])
    assert told("part_asked") == {"Anke Brockhausen"}


def test_a_manager_who_left_us_for_another_workshop_is_told(board):
    Membership.objects.create(person=board.rureifel.person, workshop=board.asker.workshop, role="manager", state="left")
    Notice.objects.all().delete()
    make_request(board.asker)
    assert told("part_asked") == {"Anke Brockhausen", "Claude Moutfort"}


def test_suspended_workshops_are_not_told(board):
    board.moutfort.workshop.suspend(by=make_administrator(), reason="Insurance ran out.")
    Notice.objects.all().delete()
    make_request(board.asker)
    assert told("part_asked") == {"Anke Brockhausen"}


def test_whoever_asked_is_told_of_an_answer_with_its_cost(board):
    make_answer(board.request, board.rureifel, "1090.00")
    assert told("part_answered") == {"Ilse Vandamme"}
    notice = Notice.objects.get(event__verb="part_answered")
    assert notice.path == f"/board/{board.request.pk}/"
    assert "Hybridwerk Rureifel" in notice.body and "1\u202f090.00 EUR" in notice.body


def test_the_managers_are_told_where_whoever_asked_has_left(board):
    Membership.objects.filter(pk=board.asker.pk).update(state="left")
    make_answer(board.request, board.rureifel)
    assert told("part_answered") == {"Corinne Hautpré"}


def test_winner_and_losers_are_told_apart(board):
    chosen = make_answer(board.request, board.rureifel)
    make_answer(board.request, board.moutfort)
    sourcing.accept(answer=chosen, by=board.colleague)
    assert (told("answer_accepted"), told("answer_not_chosen")) == ({"Anke Brockhausen"}, {"Claude Moutfort"})


def test_whoever_sent_the_part_is_told_of_its_receipt(board):
    sourcing.accept(answer=make_answer(board.request, board.rureifel), by=board.asker)
    sourcing.receive(request=board.request, by=board.asker, number_as_ordered=True, marks_as_ordered=True, remark="")
    assert told("part_received") == {"Anke Brockhausen"}


def test_those_who_answered_are_told_of_a_withdrawal(board):
    make_answer(board.request, board.moutfort)
    taken_back = make_answer(board.request, board.rureifel)
    sourcing.take_back(answer=taken_back, by=board.rureifel)
    sourcing.withdraw(request=board.request, by=board.asker)
    assert (told("answer_taken_back"), told("part_withdrawn")) == ({"Ilse Vandamme"}, {"Claude Moutfort"})


def test_nobody_is_told_of_what_was_rolled_back(board):
    answer = make_answer(board.request, board.rureifel)
    before = Notice.objects.count()
    with pytest.raises(ZeroDivisionError), transaction.atomic():
        sourcing.accept(answer=answer, by=board.asker)
        assert told("answer_accepted") == {"Anke Brockhausen"}
        raise ZeroDivisionError
    assert Notice.objects.count() == before
    answer.refresh_from_db()
    assert answer.state == "offered"


def test_a_refused_acceptance_tells_nobody(board):
    answer = make_answer(board.request, board.rureifel)
    Workshop.objects.filter(pk=answer.workshop_id).update(state="suspended")
    before = Notice.objects.count()
    with pytest.raises(sourcing.NotOnOffer):
        sourcing.accept(answer=answer, by=board.asker)
    assert Notice.objects.count() == before


def test_no_mail_tells_more_than_subject_and_sentence_allow(board):
    elsewhere = make_workshop("Garage Kempen", region=make_region("meuse"))
    make_request(make_member(elsewhere), number="LN 27\r\nBcc: all@bench.example")
    subjects = set(Notice.objects.filter(event__verb="part_asked").values_list("subject", flat=True))
    assert not any("Bcc" in subject or "\r" in subject for subject in subjects)
