"""Postcodes as people write them, towns by name, and what is near to a typing error."""

from __future__ import annotations

import pytest

from network import places
from tests.cast import make_place

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("country", "typed", "matched"),
    [
        # Ways of writing from the Universal Postal Union's addressing sheets of these countries, from memory.
        ("BE", "4000", "4000"),
        ("BE", "B-4000", "4000"),
        ("BE", " be 4000 ", "4000"),
        ("LU", "L-1234", "1234"),
        ("DE", "D-52349", "52349"),
        ("DE", "01067", "01067"),
        ("NL", "1012 AB", "1012"),
        ("NL", "nl-1012ab", "1012"),
        ("CZ", "100 05", "10005"),
        ("MD", "MD-2001", "2001"),
        ("GB", "sw1a 1aa", "SW1A1AA"),
    ],
)
def test_a_postcode_is_matched_however_it_is_written(country: str, typed: str, matched: str) -> None:
    assert places.normalise_postcode(country, typed) == matched


@pytest.mark.parametrize("typed", ["4020", "B-4020", "4020 Liège", "B 4020 Bressoux", "  4020  "])
def test_a_code_with_or_without_its_place_is_found(belgium: None, typed: str) -> None:
    found = places.find_place("BE", typed)
    assert found and found.postcode == "4020"


@pytest.mark.parametrize("typed", ["Liège", "liege", "LIEGE", "Marche-en-Famenne", "marche en famenne"])
def test_a_town_is_found_by_its_name_without_accents_or_hyphens(belgium: None, typed: str) -> None:
    found = places.find_place("BE", typed)
    assert found and places.plain_name(found.name) == places.plain_name(typed)


def test_liege_lies_where_an_atlas_has_it(belgium: None) -> None:
    # 50 degrees 38 minutes north, 5 degrees 34 minutes east: from memory of any atlas, to a minute and a half.
    found = places.find_place("BE", "Liège")
    assert found and abs(found.latitude - (50 + 38 / 60)) < 0.025 and abs(found.longitude - (5 + 34 / 60)) < 0.025


def test_a_town_by_its_name_is_no_postcode(belgium: None) -> None:
    assert places.place_of_postcode("BE", "Liège") is None
    assert places.place_of_postcode("BE", "") is None


def test_near_matches_of_an_unknown_code_are_the_nearest_in_number(belgium: None) -> None:
    assert places.find_place("BE", "4021") is None
    near = [int(place.postcode) for place in places.near_matches("BE", "4021")]
    assert near[0] == 4020 and near == sorted(near, key=lambda code: (abs(code - 4021), code))


def test_near_matches_of_a_misspelt_name_begin_alike(belgium: None) -> None:
    names = [place.name for place in places.near_matches("BE", "Vervierrs")]
    assert "Verviers" in names


@pytest.mark.parametrize("typed", ["", " ", "%", "_", "0", "\0", "9" * 5000, "é" * 5000, "4\0 99", "🚗", "a' OR 1=1"])
def test_nonsense_finds_nothing_and_raises_nothing(belgium: None, typed: str) -> None:
    assert places.find_place("BE", typed) is None
    assert len(places.near_matches("BE", typed)) <= 4


def test_a_percent_sign_is_no_wildcard(db: None) -> None:
    make_place(postcode="4000", name="Liège")
    assert places.find_place("BE", "4%") is None
    assert places.find_place("BE", "L%") is None
