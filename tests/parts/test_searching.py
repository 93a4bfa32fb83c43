"""Part numbers are found exactly, by beginning, by a piece, with one typo: the same on both databases."""

import random

import pytest
from django.db import connection
from hypothesis import given
from hypothesis import strategies as st
from rapidfuzz.distance import OSA

from parts.models import PartNumber
from parts.numbers import normalise, one_typo_apart, sign_after
from parts.searching import How, containing, one_typo, search
from tests.cast import make_member, make_workshop

ALPHABET = "0O1I8BLN27"


@given(st.text(ALPHABET, max_size=8), st.text(ALPHABET, max_size=8))
def test_one_typo_is_an_optimal_string_alignment_distance_of_one(one: str, other: str) -> None:
    # RapidFuzz 3, an independent library: distance.OSA.
    assert one_typo_apart(one, other) == (OSA.distance(one, other) == 1)


@given(st.text(ALPHABET, min_size=1, max_size=9), st.data())
def test_every_slip_of_the_pen_is_one_typo(number: str, data: st.DataObject) -> None:
    slipped = data.draw(st.sampled_from(slips(number, "X")))
    assert one_typo_apart(number, slipped) or slipped == number


def slips(number: str, sign: str) -> list[str]:
    """One sign too much, missing, wrong, or two neighbours swapped: at every place."""
    places = range(len(number))
    return [
        *(number[:i] + sign + number[i:] for i in range(len(number) + 1)),
        *(number[:i] + number[i + 1 :] for i in places),
        *(number[:i] + sign + number[i + 1 :] for i in places),
        *(number[:i] + number[i + 1] + number[i] + number[i + 2 :] for i in places[:-1]),
    ]


@given(st.text(min_size=1), st.text())
def test_what_begins_with_a_text_lies_before_the_sign_after(prefix: str, rest: str) -> None:
    after = sign_after(prefix)
    assert not after or prefix <= prefix + rest < after


@given(st.text(min_size=1, max_size=4), st.text(max_size=4))
def test_what_does_not_begin_with_a_text_lies_outside(prefix: str, other: str) -> None:
    after = sign_after(prefix)
    assert (prefix <= other and (not after or other < after)) == other.startswith(prefix)


NUMBERS = [
    "LN 27 410-0", "LN 27 410-9", "LN 27 411-0", "LN 27 4100 B", "XLN 27 410-0", "LN 27 4I0-0", "LN 72 410-0",
    "LN 24 710-0", "N 27 410-0", "LN 27 41-0", "LN 27 410-00", "LN 27 410-O", "ТЛ 27 410-0", "ÖN 27 410-0", "Z", "ZZ",
]  # fmt: skip


@pytest.fixture
def known(db: None) -> None:
    by = make_member(make_workshop())
    for number in NUMBERS:
        PartNumber.objects.create(
            number=number, maker="Lanner", kind="inverter", description="Inverter",
            entered_by_workshop=by.workshop, entered_by=by.person,
        )  # fmt: skip


def found(text: str, how: How) -> list[str]:
    return [one.number for way, one in search(text).found if way is how]


@pytest.mark.usefixtures("known")
def test_the_number_itself_comes_first_however_it_is_written() -> None:
    assert search("ln27-410.0").found[0][1].number == "LN 27 410-0"
    assert found("ln27-410.0", How.EXACT) == ["LN 27 410-0"]


@pytest.mark.usefixtures("known")
def test_beginnings_come_in_the_order_of_their_signs() -> None:
    assert found("LN 27 410", How.BEGINS) == [
        "LN 27 410-0", "LN 27 410-00", "LN 27 4100 B", "LN 27 410-9", "LN 27 410-O",
    ]  # fmt: skip


@pytest.mark.usefixtures("known")
def test_a_piece_is_found_inside() -> None:
    assert found("27410", How.CONTAINS) == [
        "LN 27 41-0", "LN 27 410-0", "LN 27 410-00", "LN 27 4100 B", "LN 27 410-9", "LN 27 410-O", "N 27 410-0", "XLN 27 410-0",
        "ÖN 27 410-0", "ТЛ 27 410-0",
    ]  # fmt: skip


@pytest.mark.usefixtures("known")
def test_look_alikes_are_a_typo_and_not_the_number() -> None:
    assert "LN 27 410-O" in found("LN 27 410-0", How.TYPO)
    assert "LN 27 4I0-0" in found("LN 27 410-0", How.TYPO)


@pytest.mark.usefixtures("known")
def test_the_number_is_found_through_every_typo() -> None:
    rows = PartNumber.objects.all()
    wanted = normalise(number="LN 27 411-0")
    for written in set(slips(wanted, "7")) - {wanted}:
        assert wanted in [number for _key, number in one_typo(rows, written)], written


@pytest.mark.usefixtures("known")
def test_nothing_is_found_for_a_text_without_letters_or_figures() -> None:
    assert search(" -./ ").found == ()


@pytest.mark.django_db
def test_a_typo_search_finds_what_comparing_with_every_number_finds() -> None:
    by = make_member(make_workshop())
    chance = random.Random(27)
    numbers = {"".join(chance.choices("01L", k=chance.randint(4, 8))) for _n in range(800)}
    PartNumber.objects.bulk_create(
        PartNumber(
            number=one, normalised=one, reversed=one[::-1], maker="Lanner", kind="other", description="-",
            entered_by_workshop=by.workshop, entered_by=by.person,
        )
        for one in numbers
    )  # fmt: skip
    for wanted in chance.sample(sorted(numbers), 12):
        expected = sorted(one for one in numbers if OSA.distance(wanted, one) == 1)
        assert [number for _key, number in one_typo(PartNumber.objects.all(), wanted)] == expected


@pytest.mark.django_db
def test_pieces_are_found_by_an_index_never_by_the_table() -> None:
    """The index on the number as a whole, read through; where PostgreSQL has trigrams, the one on pieces."""
    pieces = containing(PartNumber.objects.all(), "27410")
    if connection.vendor == "sqlite":
        assert "COVERING INDEX part_number_begins" in pieces.explain()
        return
    with connection.cursor() as cursor:
        cursor.execute("SELECT count(*) FROM pg_available_extensions WHERE name = 'pg_trgm'")
        trigrams = cursor.fetchone()[0]
        # On a table this small PostgreSQL would read the table; it is told not to.
        cursor.execute("SET LOCAL enable_seqscan = off; SET LOCAL enable_indexonlyscan = off")
    assert ("part_number_pieces" if trigrams else "part_number_begins") in pieces.order_by().explain()
