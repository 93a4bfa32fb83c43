"""The forms of the board: bad input is a sentence at the field, what was typed is kept, nothing is a 500."""

import datetime

import pytest
from django.utils import timezone

from network.models import Region
from parts.models import Answer, PartRequest
from tests.cast import make_answer

DAY = datetime.timedelta(days=1)


def asked(**more):
    regions = [str(pk) for pk in Region.objects.values_list("pk", flat=True)]
    return {"number": "LN 27 418", "description": "Coupling kit", "quantity": "1", "regions": regions} | more


def offered(**more):
    return {
        "offer": "have_one", "condition": "used", "price": "340.00", "freight": "72.50", "currency": "EUR",
        "days_to_arrive": "7",
    } | more  # fmt: skip


BAD_REQUESTS = [
    ("number", "---", "letters or figures"),
    ("description", "", "is empty. Write it here."),
    ("part_kind", "engine", "can’t be chosen"),
    ("number", "LN\0 27", "Null characters"),
    ("number", "9" * 5000, "40 characters at most"),
    ("number", "ﷺ" * 10, "longer than a part number"),  # one sign that stands for eighteen
    ("number", "1M8GDM9AXKP042788", "Write it without a VIN"),
    ("description", "ask anneke@terwold.example", "Write it without an e-mail address"),
    ("marks", "ring +49 30 23125 900", "Write it without a phone number"),
    ("remark", "for 1M8GDM9AXKP042788", "Write it without a VIN"),
    ("remark", "\0", "Null characters"),
    ("quantity", "0", "the least is 1"),
    ("quantity", "-3", "the least is 1"),
    ("quantity", "9" * 5000, "whole number"),
    ("quantity", "NaN", "whole number"),
    ("needed_by", "9e99", "isn’t a day"),
    ("needed_by", "9999-12-31", "two years"),
    ("needed_by", "0001-01-01", "gone by"),
    ("family", "9" * 30, "can’t be chosen"),
    ("family", "\0", "Null characters"),
    ("regions", [], "Tick one region"),
    ("regions", ["9" * 30], "can’t be chosen"),
    ("regions", ["\0"], "can’t be chosen"),
    ("regions", ["9e99"], "can’t be chosen"),
    ("regions", ["99999"], "can’t be chosen"),
]


@pytest.mark.parametrize(("field", "typed", "sentence"), BAD_REQUESTS)
def test_a_bad_request_is_refused_with_a_sentence_and_kept(board, client_of, field, typed, sentence):
    before = PartRequest.objects.count()
    page = client_of(board.asker).post("/board/new/", asked(**{field: typed}))
    assert page.status_code == 422
    assert sentence in " ".join(page.context["form"].errors[field])
    assert PartRequest.objects.count() == before
    assert page.context["form"][field].value() == typed


def test_a_good_request_goes_on_the_board(board, client_of):
    day = timezone.localdate() + DAY
    answer = client_of(board.asker).post("/board/new/", asked(number=" LN 27\r\n418 ", needed_by=day.isoformat()))
    made = PartRequest.objects.latest("pk")
    assert (answer.status_code, answer["Location"]) == (302, f"/board/{made.pk}/")
    assert (made.number, made.needed_by, made.regions.count()) == ("LN 27 418", day, Region.objects.count())


def test_the_form_begins_with_what_the_address_says(board, client_of):
    page = client_of(board.asker).get("/board/new/", {"number": "LN 27 418", "description": "Coupling kit"})
    assert (page.context["form"]["number"].value(), page.context["form"]["quantity"].value()) == ("LN 27 418", 1)


BAD_ANSWERS = [
    ("price", "NaN", "Write an amount"),
    ("price", "9e99", "Write an amount"),
    ("price", "Infinity", "Write an amount"),
    ("price", "9" * 5000, "Write an amount"),
    ("price", "12345678", "seven figures"),
    ("price", "\0", "Write an amount"),
    ("price", "1_000", "Write an amount"),
    ("price", "-1", "below zero"),
    ("price", "−0,50", "below zero"),
    ("price", "340.005", "EUR has 2 decimals"),
    ("price", "", "Name the price"),
    ("freight", "72.505", "EUR has 2 decimals"),
    ("freight", "1.2.3", "Write an amount"),
    ("currency", "XYZ", "“XYZ” is none of these currencies"),
    ("currency", "\0", "none of these currencies"),
    ("offer", "lend", "can’t be chosen"),
    ("condition", "", "in what condition"),
    ("days_to_arrive", "-1", "the least is 0"),
    ("days_to_arrive", "366", "the most is 365"),
    ("days_to_arrive", "1e3", "whole number"),
    ("marks", "x" * 201, "200 characters at most"),
    ("remark", "mail me: anke@rureifel.example", "an e-mail address"),
]


@pytest.mark.parametrize(("field", "typed", "sentence"), BAD_ANSWERS)
def test_a_bad_answer_is_refused_with_a_sentence_and_kept(board, client_of, field, typed, sentence):
    page = client_of(board.rureifel).post(f"/board/{board.request.pk}/answer/", offered(**{field: typed}))
    assert page.status_code == 422
    assert sentence in " ".join(page.context["form"].errors[field])
    assert page.context["form"][field].value() == typed
    assert not Answer.objects.exists()


@pytest.mark.parametrize(
    ("currency", "typed", "kept"),
    [("EUR", "1 148,50", "1148.50"), ("EUR", "412.5", "412.5"), ("JPY", "52000", "52000"), ("TND", "1.234", "1.234")],
)
def test_amounts_are_read_as_people_write_them(board, client_of, currency, typed, kept):
    sent = offered(price=typed, freight="0", currency=currency)
    assert client_of(board.rureifel).post(f"/board/{board.request.pk}/answer/", sent).status_code == 302
    assert str(Answer.objects.get().price.normalize()) == kept.rstrip("0").rstrip(".") if "." in kept else kept


def test_the_yen_has_no_decimals(board, client_of):
    page = client_of(board.rureifel).post(
        f"/board/{board.request.pk}/answer/", offered(price="52000.5", freight="0", currency="JPY")
    )
    assert page.context["form"].errors["price"] == ["JPY has 0 decimals, no more."]


def test_an_answer_begins_in_the_currency_of_the_workshop(board, client_of):
    page = client_of(board.rureifel).get(f"/board/{board.request.pk}/answer/")
    assert page.context["form"]["currency"].value() == "EUR"


def test_a_second_answer_is_a_409_that_keeps_what_was_typed(board, client_of):
    make_answer(board.request, board.rureifel)
    page = client_of(board.rureifel).post(f"/board/{board.request.pk}/answer/", offered(price="299.00"))
    assert page.status_code == 409
    assert 'value="299.00"' in page.content.decode()
