"""Part numbers: one form to compare, look-alikes apart."""

import unicodedata

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from parts.numbers import normalise

LOOK_ALIKES = ["O0", "I1", "S5", "B8", "Z2", "AА", "OΟ", "l1"]  # the sixth is a Cyrillic A, the seventh a Greek omicron


@pytest.mark.parametrize(
    ("written", "compared"),
    [
        # The contract: upper case, letters and digits only.
        ("ln 27 410-0", "LN274100"),
        ("LN-27.410/0", "LN274100"),
        (" th\t31\u00a0902 ", "TH31902"),
        ("--", ""),
        ("", ""),
        ("groß 7", "GROSS7"),
        ("ＬＮ２７", "LN27"),  # full-width forms, as some keyboards give; Unicode, block Halfwidth and Fullwidth Forms
    ],
)
def test_a_number_is_brought_into_one_form(written, compared):
    assert normalise(number=written) == compared


@pytest.mark.parametrize("pair", LOOK_ALIKES)
def test_look_alikes_stay_apart(pair):
    assert normalise(number=pair[0]) != normalise(number=pair[1])


@given(st.text())
@example("\u1100-\u1161")  # two signs that become one when what stood between them is gone
@example("\u0149")  # its capital is two signs
@example("\ud800")  # half a sign, as damaged input has it
def test_normalising_twice_is_normalising_once(text):
    once = normalise(number=text)
    assert normalise(number=once) == once


@given(st.text())
def test_only_letters_and_digits_are_left_and_no_small_ones(text):
    # Unicode's own categories: letters begin with L, digits and other numerals with N.
    compared = normalise(number=text)
    assert all(unicodedata.category(sign)[0] in "LN" for sign in compared)
    assert compared == unicodedata.normalize("NFKC", compared.upper())


@given(st.text(alphabet="ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789", max_size=20), st.sampled_from(" -./_"))
def test_plain_numbers_are_kept_sign_by_sign(text, between):
    assert normalise(number=between.join(text.lower())) == text


@pytest.mark.parametrize("wrong", [None, 274100, b"LN 27", 1.5])
def test_what_is_no_text_is_refused_with_a_sentence(wrong):
    with pytest.raises(ValueError, match=r"^The argument number must be a text, but it is .+\.$"):
        normalise(number=wrong)
