"""Rates at borders of customs: which one is in force, what an answer from across a border costs, who may enter one."""

import datetime
import re
from decimal import Decimal as D

import pytest

from network.models import Event
from parts import borders
from parts.models import BorderRate
from tests.access_scene_board import BORDER_RATE
from tests.cast import make_administrator, make_answer, make_member, make_region, make_workshop

DAY = datetime.date(2026, 11, 25)


def enter(by, from_country, valid_from, tax="21", **more):
    facts = {"into_country": "BE", "duty_percent": D("2.7"), "currency": "EUR", "source": "tariff of the example"}
    rate = BorderRate(from_country=from_country, tax_percent=D(tax), valid_from=valid_from, **facts | more)
    return rate.enter(by=by)


@pytest.fixture
def administrator(db):
    return make_administrator()


def test_the_pair_goes_before_anywhere_and_the_newest_date_before_older_ones(administrator):
    enter(administrator, "", datetime.date(2026, 6, 1), tax="1")
    enter(administrator, "CH", datetime.date(2020, 1, 1), tax="2")
    wrong = enter(administrator, "CH", datetime.date(2026, 1, 1), tax="33")
    corrected = enter(administrator, "CH", datetime.date(2026, 1, 1), tax="3")
    enter(administrator, "CH", datetime.date(2027, 1, 1), tax="4")
    found = borders.rate_between("CH", "BE", DAY)
    assert (found, found.tax_percent) == (corrected, 3) and wrong.pk != corrected.pk
    assert borders.rate_between("CH", "BE", datetime.date(2025, 1, 1)).tax_percent == 2
    assert borders.rate_between("NO", "BE", DAY).tax_percent == 1


def test_nothing_is_guessed_where_no_rate_was_entered(administrator):
    enter(administrator, "CH", datetime.date(2026, 1, 1))
    with pytest.raises(borders.NoBorderRate, match="from NO into BE"):
        borders.rate_between("NO", "BE", DAY)


@pytest.mark.parametrize(("one", "other"), [("BE", "BE"), ("DE", "BE"), ("CH", "LI"), ("IE", "FR")])
def test_inside_a_customs_union_there_is_no_border(db, one, other):
    # Regulation (EU) No 952/2013, Article 4; Switzerland and Liechtenstein by their customs treaty of 1923.
    assert borders.rate_between(one, other, DAY) is None


@pytest.mark.parametrize(("one", "other"), [("CH", "BE"), ("GB", "IE"), ("NO", "SE"), ("TR", "DE")])
def test_between_others_a_rate_is_needed(db, one, other):
    with pytest.raises(borders.NoBorderRate):
        borders.rate_between(one, other, DAY)


@pytest.fixture
def across(board):
    """A workshop behind the border, which the network of the example has in the region of the Mosel."""
    return make_member(make_workshop("Garage Aareblick", country="CH", region=make_region("mosel"), currency="CHF"))


def test_an_answer_from_across_the_border_shows_every_line(board, across, client_of):
    enter(make_administrator("Ute"), "CH", datetime.date(2026, 1, 1), fee=D("14.50"), source="tariff of the example")
    make_answer(board.request, across, "300.00", currency="CHF", freight=D("40.00"))
    page = client_of(board.asker).get(f"/board/{board.request.pk}/").content.decode()
    words = " ".join(re.sub(r"<[^>]+>", " ", page).split())
    # By hand at 0.9194 CHF for 1 EUR (European Central Bank, 30 October 2026): 300 / 0.9194 = 326.30; 40 / 0.9194 =
    # 43.51; value 369.81; duty 2.7 % = 9.98; base 379.79; tax 21 % = 79.76; fee 14.50; sum 474.05.
    for line in ("Goods 326.30", "Freight 43.51", "Duty 2.7 % of 369.81 9.98", "Import tax 21 % of 379.79 79.76",
                 "Fee for clearing 14.50", "Landed, EUR 474.05", "0.9194 CHF = 1 EUR on 30 Oct 2026"):  # fmt: skip
        assert line in words
    assert "cheapest landed 474.05 EUR" in words


def test_without_a_rate_the_answer_stands_apart_and_says_what_is_missing(board, across, client_of):
    make_answer(board.request, across, "300.00", currency="CHF")
    page = client_of(board.asker).get(f"/board/{board.request.pk}/")
    assert len(page.context["compared"].elsewhere) == 1
    assert "no rate entered for the border from CH into BE" in page.content.decode()


def test_an_administrator_enters_a_rate_and_the_page_tells_which_is_in_force(administrator, client_of):
    client = client_of(administrator)
    assert client.post("/borders/", BORDER_RATE)["Location"] == "/borders/"
    entered = BorderRate.objects.get()
    assert (entered.from_country, entered.fee, entered.entered_by) == ("CH", D("14.50"), administrator)
    assert Event.objects.get(verb="border_rate_entered").by == administrator
    assert "in force" in client.get("/borders/").content.decode()


def test_a_rate_is_typed_with_a_comma_as_well(administrator, client_of):
    client_of(administrator).post("/borders/", BORDER_RATE | {"duty_percent": "4,5"})
    assert BorderRate.objects.get().duty_percent == D("4.5")


WRONG = [
    ({"from_country": "LU"}, "from_country", "No border of customs"),
    ({"into_country": "B1"}, "into_country", "two letters"),
    ({"duty_percent": "-1"}, "duty_percent", "the least is 0"),
    ({"tax_percent": "NaN"}, "tax_percent", "isn’t a figure"),
    ({"fee": "1.234"}, "fee", "EUR has 2 decimals"),
    ({"source": " "}, "source", "is empty. Write it here."),
    ({"valid_from": ""}, "valid_from", "is empty. Give the day."),
]


@pytest.mark.parametrize(("typed", "field", "sentence"), WRONG)
def test_a_rate_that_cannot_be_is_refused_at_its_field(administrator, client_of, typed, field, sentence):
    page = client_of(administrator).post("/borders/", BORDER_RATE | typed)
    assert page.status_code == 422
    assert sentence in " ".join(page.context["form"].errors[field])
    assert not BorderRate.objects.exists()
