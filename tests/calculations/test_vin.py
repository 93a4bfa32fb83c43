"""Vehicle identification numbers against the samples of the regulation and of a list of examples."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diagnostics.calculations.vin import check_digit, problems

ALLOWED = "0123456789ABCDEFGHJKLMNPRSTUVWXYZ"  # 49 CFR 565.15: I, O and Q are not allowed


def codes(vin):
    return [(problem.code, problem.severity) for problem in problems(vin=vin)]


@pytest.mark.parametrize(
    ("vin", "digit"),
    [
        ("1G4AH59H?5G118341", "4"),  # 49 CFR 565.15, table V sample, copied text: sum 411
        ("JH2RC360?MM101581", "5"),  # vsource.org: sum 280
        ("11111111?11111111", "1"),  # the weights sum to 89 = 8 * 11 + 1 (49 CFR 565.15(c))
        ("1M8GDM9A?KP042788", "X"),  # a sample with remainder 10, widely printed, from memory
    ],
)
def test_published_numbers_have_their_published_check_digit(vin, digit):
    assert check_digit(vin=vin) == digit
    assert check_digit(vin=vin.lower()) == digit
    assert problems(vin=vin.replace("?", digit)) == ()


def test_what_stands_at_position_nine_makes_no_difference():
    assert {check_digit(vin=f"1G4AH59H{character}5G118341") for character in "?0X9Qß "} == {"4"}


def test_a_wrong_check_digit_is_an_error_in_north_america_and_a_remark_elsewhere():
    # 49 CFR 565.15(c); elsewhere not compulsory: ISO 3779, from memory.
    assert codes("1G4AH59H55G118341") == [("check_digit", "error")]
    assert codes("JH2RC3601MM101581") == [("check_digit", "remark")]


@given(st.text(alphabet=ALLOWED, min_size=17, max_size=17))
def test_one_to_five_decide_how_grave_a_wrong_digit_is(vin):
    wrong = "0" if check_digit(vin=vin) != "0" else "1"
    severity = "error" if vin[0] in "12345" else "remark"
    assert codes(vin[:8] + wrong + vin[9:]) == [("check_digit", severity)]


@given(st.text(alphabet=ALLOWED, min_size=17, max_size=17), st.data())
def test_one_changed_digit_is_always_noticed(vin, data):
    # 49 CFR 565.15(c): digits differ by 1 to 9 and no weight but that of position 9 is a multiple of 11.
    right = vin[:8] + check_digit(vin=vin) + vin[9:]
    at = data.draw(st.sampled_from([place for place in range(17) if place != 8]))
    old, new = "3", data.draw(st.sampled_from("01245678"))
    before = right[:at] + old + right[at + 1 :]
    after = right[:at] + new + right[at + 1 :]
    assert check_digit(vin=before) != check_digit(vin=after)


@pytest.mark.parametrize("letter", "IOQioq")
def test_letters_that_look_like_digits_are_an_error_wherever_they_stand(letter):
    # ISO 3779 and 49 CFR 565.15: I, O and Q are not allowed.
    assert codes(f"WAUZZZ8K9BA{letter}23456") == [("character", "error")]
    assert codes(f"WAUZZZ8K{letter}BA123456") == [("character", "error")]


@pytest.mark.parametrize("vin", ["", "1G4AH59H45G11834", "1G4AH59H45G1183411", " 1G4AH59H45G118341"])
def test_another_length_is_an_error(vin):
    # ISO 3779: seventeen characters.
    assert ("length", "error") in codes(vin)


def test_every_problem_is_told_at_once_in_full_sentences():
    found = problems(vin="1g4-oh")
    assert [problem.code for problem in found] == ["length", "character"]
    assert found[0].message == "It has 6 characters instead of 17."
    assert found[1].message == (
        "It holds what can't stand in such a number: '-' at position 4, 'O' at position 5. "
        "I, O and Q never do: look for 1 or 0."
    )


@pytest.mark.parametrize("vin", ["1G4AH59H?5G11834", "IG4AH59H?5G118341", "1G4AH59H?5G11834É", "1ß4AH59H?5G118341"])
def test_a_check_digit_of_what_is_no_number_is_refused(vin):
    with pytest.raises(ValueError, match="The argument vin must"):
        check_digit(vin=vin)


@pytest.mark.parametrize("vin", [None, 12345678901234567, b"1G4AH59H?5G118341"])
def test_what_is_no_text_is_refused(vin):
    with pytest.raises(ValueError, match="The argument vin must be a text"):
        problems(vin=vin)


@given(st.text(max_size=20))
def test_any_text_has_an_answer(text):
    assert all(
        problem.severity in ("error", "remark") and problem.message.endswith(".") for problem in problems(vin=text)
    )
