"""Figures as people write them."""

import math
from decimal import Decimal

import pytest
from babel.numbers import format_decimal
from django.utils import translation

from portal.templatetags import look


@pytest.mark.parametrize(
    ("value", "digits", "written"),
    [
        # By hand: significant digits, and never fewer than stand before the point.
        (0.0315, 3, "0.0315"),
        (91.62, 3, "91.6"),
        (99.96, 3, "100.0"),
        (1234, 3, "1\u202f234"),
        (-0.5, 2, "−0.50"),
        (0, 3, "0"),
        (None, 3, ""),
        ("OL", 3, "OL"),
        (math.inf, 3, "unlimited"),
        (math.nan, 3, "nan"),
    ],
)
def test_significant_digits(value, digits, written):
    assert look.figure(value, digits) == written


def test_half_goes_up_as_on_paper():
    # Binary fractions would give 2.67.
    assert look.fixed(2.675, 2) == "2.68"
    assert look.fixed(Decimal("0.125"), 2) == "0.13"


def test_a_limit_is_written_as_it_was_given():
    assert [look.plain(v) for v in (5.0, 14.80, Decimal("0.10"), 1000)] == ["5", "14.8", "0.1", "1\u202f000"]


def test_a_deviation_shows_its_sign_and_nought_has_none():
    assert [look.signed(v, 1) for v in (1.25, -1.25, 0.04, -0.04)] == ["+1.3", "−1.3", "0.0", "0.0"]


@pytest.mark.parametrize("language", ["en", "nl", "fr", "de"])
def test_the_decimal_sign_is_that_of_the_language(language):
    # Babel's data of the Unicode locale project, with our thin space between thousands.
    expected = format_decimal(0.25, format="0.00", locale=language)
    with translation.override(language):
        assert look.fixed(0.25, 2) == expected


@pytest.mark.parametrize("value", [9e99, -9e99, 1e-300, 10**40, Decimal("1e-40")])
@pytest.mark.parametrize("write", [look.figure, look.fixed, look.plain, look.signed])
def test_no_number_breaks_a_page(value, write):
    assert isinstance(write(value), str)


def test_a_place_along_a_line_stays_between_its_ends():
    assert [look.along(p, "1 174.5") for p in (-5, 0, 50, 100, 130)] == [1.0, 1.0, 87.75, 174.5, 174.5]
