"""From acceptance to receipt: each step once, by the side whose matter it is, and the way that both sides read."""

import datetime
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from parts import sending, sourcing
from parts.models import Answer, Shipment
from tests.cast import make_answer, make_picture
from tests.parts.conftest import told

SEEN = {"number_as_ordered": True, "marks_as_ordered": True, "remark": ""}
CORE = {"core_deposit": Decimal("180.00"), "core_criteria": "housing whole, no coolant in it", "core_days": 20}


def today(days=0):
    return timezone.localdate() + datetime.timedelta(days=days)


@pytest.fixture
def accepted(board):
    answer = make_answer(board.request, board.rureifel, **CORE)
    sourcing.accept(answer=answer, by=board.asker)
    return answer


@pytest.fixture
def core_sent(board, accepted):
    sourcing.receive(request=board.request, by=board.asker, **SEEN)
    sending.send_core(answer=accepted, by=board.asker, sent_on=today(), carrier="Maasbode")
    return accepted


def send(answer, by):
    return sending.send(answer=answer, by=by, sent_on=today(), carrier="Maasbode", tracking="MB 11")


def test_the_part_is_sent_once_by_whoever_offered_it_and_the_asker_is_told(board, accepted):
    with pytest.raises(sending.NotDue):
        send(accepted, board.asker)
    send(accepted, board.rureifel)
    assert told("part_sent") == {"Ilse Vandamme"}
    with pytest.raises(sending.NotDue):
        send(accepted, board.rureifel)
    assert Shipment.objects.get().tracking == "MB 11"


def test_nothing_is_sent_before_it_is_accepted(board):
    answer = make_answer(board.request, board.rureifel)
    with pytest.raises(sending.NotDue):
        send(answer, board.rureifel)


def test_the_core_goes_back_after_the_receipt_and_only_where_one_was_agreed(board, accepted):
    core = {"answer": accepted, "by": board.asker, "sent_on": today(), "carrier": "Maasbode"}
    with pytest.raises(sending.NotDue):
        sending.send_core(**core)
    sourcing.receive(request=board.request, by=board.asker, **SEEN)
    sending.send_core(**core)
    assert told("core_sent") == {"Anke Brockhausen"}
    Shipment.objects.all().delete()
    Answer.objects.filter(pk=accepted.pk).update(core_deposit=None)
    with pytest.raises(sending.NotDue):
        sending.send_core(**core)


def test_the_deposit_is_settled_once_after_the_core_was_looked_at(board, core_sent):
    settle = {"answer": core_sent, "by": board.rureifel, "given_back": Decimal("150.00"), "reason": "a pin is bent"}
    with pytest.raises(sending.NotDue):
        sending.settle_deposit(**settle)
    sending.look_at_core(
        answer=core_sent, by=board.rureifel, arrived_on=today(), as_described=False, remark="a pin is bent"
    )
    with pytest.raises(ValueError, match=r"From 0 to 180\.00"):
        sending.settle_deposit(**settle | {"given_back": Decimal("180.01")})
    with pytest.raises(sending.NotDue):
        sending.settle_deposit(**settle | {"by": board.asker})
    sending.settle_deposit(**settle)
    with pytest.raises(sending.NotDue):
        sending.settle_deposit(**settle)
    assert told("deposit_settled") == {"Ilse Vandamme"}


def test_the_way_is_read_by_both_sides_and_by_nobody_else(board, core_sent, client_of):
    for who in (board.asker, board.rureifel):
        way = client_of(who).get(f"/board/{board.request.pk}/").context["way"]
        assert [(step.code, step.state) for step in way] == [
            ("asked", "done"), ("answered", "done"), ("accepted", "done"), ("sent", "done"), ("received", "done"),
            ("core_sent", "done"), ("core_received", "now"), ("settled", "later"),
        ]  # fmt: skip
    page = client_of(board.moutfort).get(f"/board/{board.request.pk}/")
    assert "way" not in page.context and "Maasbode" not in page.content.decode()


@pytest.mark.parametrize(
    ("days", "words"),
    [(0, "by the promised day"), (7, "by the promised day"), (8, "one day late"), (10, "3 days late")],
)
def test_the_day_of_arrival_is_a_fact_against_the_promised_one(board, accepted, client_of, days, words):
    # Promised for seven days after acceptance (the example's answer).
    sourcing.receive(request=board.request, by=board.asker, arrived_on=today(days), **SEEN)
    way = client_of(board.rureifel).get(f"/board/{board.request.pk}/").context["way"]
    (received,) = [step for step in way if step.code == "received"]
    assert received.facts == ("as ordered", "condition as described", words)


FINDINGS = [
    ({}, "as_ordered", True),
    ({"marks_as_ordered": False}, "other_revision", False),
    ({"number_as_ordered": False, "damaged": True}, "wrong", False),
    ({"damaged": True}, "damaged", False),
]


@pytest.mark.parametrize(("seen", "finding", "as_ordered"), FINDINGS)
def test_a_receipt_finds_the_gravest_thing_and_keeps_the_pictures(board, accepted, seen, finding, as_ordered):
    facts = SEEN | {"remark": "One dot, not two."} | seen
    sourcing.receive(request=board.request, by=board.asker, pictures=[make_picture()], **facts)
    assert (board.request.finding, board.request.received_as_ordered) == (finding, as_ordered)
    assert board.request.receipt_pictures.count() == 1


def test_the_steps_are_taken_on_the_page(board, accepted, client_of):
    path = f"/board/{board.request.pk}/"
    asker, other = client_of(board.asker), client_of(board.rureifel)
    sent = {"carrier": "Maasbode", "tracking": "MB 11", "sent_on": today().isoformat()}
    assert other.post(f"/answers/{accepted.pk}/sent/", sent)["Location"] == path
    assert "has sent it" in asker.get(path).content.decode()
    assert "You have sent it: Ateliers Hautpré waits for the part until" in other.get(path).content.decode()
    asker.post(f"{path}receive/", {"number_as_ordered": "yes", "marks_as_ordered": "yes", "as_described": "yes"})
    assert "Received as ordered; the core goes back by" in asker.get(path).content.decode()
    assert asker.post(f"/answers/{accepted.pk}/core/sent/", sent)["Location"] == path
    assert other.post(f"/answers/{accepted.pk}/core/received/", {"as_described": "yes"})["Location"] == path
    page = other.post(f"/answers/{accepted.pk}/deposit/", {"given_back": "179.99"})
    assert (page.status_code, list(page.context["deposit_form"].errors)) == (422, ["reason"])
    assert other.post(f"/answers/{accepted.pk}/deposit/", {"given_back": "180"})["Location"] == path
    assert "180.00 EUR of 180.00 EUR given back" in asker.get(path).content.decode()


def test_the_database_keeps_a_core_that_was_half_looked_at_out(board, core_sent):
    with pytest.raises(IntegrityError), transaction.atomic():
        Shipment.objects.filter(way="core").update(arrived_on=today())


def test_a_part_that_arrived_without_a_word_of_its_sending_waits_for_nobody(board, accepted, client_of):
    sourcing.receive(request=board.request, by=board.asker, **SEEN)
    sent = next(
        step for step in client_of(board.asker).get(f"/board/{board.request.pk}/").context["way"] if step.code == "sent"
    )
    assert (sent.state, sent.facts) == ("done", ("not written down",))
