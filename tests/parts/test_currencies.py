"""Decimals of currencies against Unicode's common locale data, which Babel carries."""

from decimal import Decimal

import pytest
from babel.numbers import get_currency_precision, list_currencies

from parts.currencies import DECIMALS, decimals_of
from parts.models import Answer


@pytest.mark.parametrize("currency", DECIMALS)
def test_decimals_are_those_of_the_common_locale_data(currency):
    # CLDR supplemental data, currencyData/fractions. It follows ISO 4217 for these.
    assert currency in list_currencies()
    assert decimals_of(currency) == get_currency_precision(currency)


def test_a_price_is_written_in_the_decimals_of_its_currency():
    assert Answer(price=Decimal("1090.000"), currency="EUR").price_words == "1\u202f090.00 EUR"
    assert Answer(price=Decimal("1090.000"), currency="JPY").price_words == "1\u202f090 JPY"
