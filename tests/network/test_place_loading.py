"""Loading places: complete, exact where the data is, repeatable, and careful with files."""

from __future__ import annotations

import io
import time
from collections import Counter
from pathlib import Path

import pytest
from countrystatecity_postal_codes.loaders import DataLoader
from django.core.management import CommandError, call_command

from network import place_loading, places
from network.geography import great_circle_km
from network.models import Place

pytestmark = pytest.mark.django_db

LINE = "BE\t4020\tLiège\tWallonie\tWAL\tLiège\tWLG\tLiège\t62\t50.6333\t5.5667\t6\n"


def test_every_belgian_postcode_has_the_point_of_the_open_data(belgium: None) -> None:
    listed = DataLoader.load_postcodes("BE")
    stored = {p.postcode: (p.latitude, p.longitude, p.precision) for p in Place.objects.exclude(postcode="")}
    assert len(listed) == 1145
    assert stored == {one["code"]: (one["latitude"], one["longitude"], "code") for one in listed}


@pytest.fixture(scope="module")
def all_rows() -> list[place_loading.Row]:
    return place_loading.from_packages()


@pytest.mark.parametrize("country", ["NL", "LU", "DE"])
def test_ninety_eight_in_a_hundred_codes_get_a_point(all_rows: list[place_loading.Row], country: str) -> None:
    listed = {one["code"] for one in DataLoader.load_postcodes(country)}
    pointed = {row.postcode for row in all_rows if row.country == country and row.postcode}
    assert pointed <= listed and len(pointed) > 0.98 * len(listed)


# Town halls on a public map (OpenStreetMap), from memory, to a tenth of a degree.
@pytest.mark.parametrize(
    ("country", "code", "latitude", "longitude"),
    [
        ("DE", "52349", 50.80, 6.48),  # Düren
        ("DE", "54290", 49.76, 6.64),  # Trier
        ("DE", "01067", 51.05, 13.74),  # Dresden
        ("NL", "8011", 52.51, 6.09),  # Zwolle
        ("NL", "6041", 51.19, 5.99),  # Roermond
        ("LU", "5335", 49.59, 6.26),  # Moutfort
    ],
)
def test_known_towns_lie_where_they_are(
    all_rows: list[place_loading.Row], country: str, code: str, latitude: float, longitude: float
) -> None:
    row = next(r for r in all_rows if (r.country, r.postcode) == (country, code))
    assert abs(row.latitude - latitude) < 0.1 and abs(row.longitude - longitude) < 0.1


def test_places_of_one_name_are_told_apart_by_their_region(all_rows: list[place_loading.Row]) -> None:
    """German codes of one beginning lie together: hardly any is far from the middle of its fellows."""
    alike = [row for row in all_rows if row.country == "DE" and row.postcode.startswith("523")]
    far = [
        r
        for r in alike
        if great_circle_km(latitude_1=50.80, longitude_1=6.48, latitude_2=r.latitude, longitude_2=r.longitude) > 40
    ]
    assert len(alike) > 10 and not far


@pytest.mark.parametrize(
    ("code", "town"),
    # Main codes of the Belgian post's list of municipalities, from memory.
    [("4000", "Liège"), ("4800", "Verviers"), ("5000", "Namur"), ("3700", "Tongeren"), ("9100", "Sint-Niklaas"),
     ("2000", "Antwerpen"), ("9000", "Gent"), ("4040", "Herstal"), ("2290", "Vorselaar"), ("8400", "Oostende")],
)  # fmt: skip
def test_a_main_code_is_called_by_its_town_and_a_small_place_keeps_its_name(
    all_rows: list[place_loading.Row], code: str, town: str
) -> None:
    assert next(row.name for row in all_rows if row.country == "BE" and row.postcode == code) == town


def test_larger_towns_come_first_for_the_map(belgium: None) -> None:
    near = [place.name for place in places.towns_around(50.63, 5.57, 30)]
    # The largest towns around Liège, from memory; none farther than the box reaches.
    assert near[0] == "Liège" and {"Seraing", "Verviers"} <= set(near[:8]) and "Antwerp" not in near


def test_loading_again_changes_nothing_and_a_moved_point_is_brought_up_to_date(belgium: None) -> None:
    before = dict(Place.objects.values_list("pk", "latitude"))
    moved = Place.objects.get(postcode="4020")
    Place.objects.filter(pk=moved.pk).update(latitude=0.0)
    place_loading.store(place_loading.from_packages(["BE"]))
    assert dict(Place.objects.values_list("pk", "latitude")) == before


def test_the_command_loads_four_countries_in_seconds(db: None) -> None:
    began = time.monotonic()
    call_command("load_places", stdout=io.StringIO())
    counts = Counter(Place.objects.exclude(postcode="").values_list("country", flat=True))
    assert set(counts) == {"BE", "NL", "LU", "DE"} and counts.total() > 17_000
    assert time.monotonic() - began < 20  # a few seconds; the rest is room for a busy machine


def test_a_file_in_the_geonames_layout_is_loaded(tmp_path: Path) -> None:
    # Layout: readme.txt of the GeoNames postal code export (twelve columns, tab-separated, UTF-8).
    given = tmp_path / "allCountries.txt"
    given.write_text(LINE + LINE.replace("4020", "4030"), encoding="utf-8")
    call_command("load_places", file=given, stdout=io.StringIO())
    place = Place.objects.get(country="BE", normalised="4030")
    assert (place.name, place.latitude, place.longitude, place.precision) == ("Liège", 50.6333, 5.5667, "code")


@pytest.mark.parametrize(
    "wrong",
    ["BE\t4000\n", LINE.replace("50.6333", "north"), LINE.replace("50.6333", "nan"), LINE.replace("5.5667", "1e9"),
     LINE.replace("BE", "Belgium"), LINE.replace("4020", "4\x0020"), "\n"],
)  # fmt: skip
def test_a_bad_line_is_named_and_nothing_is_kept(tmp_path: Path, wrong: str) -> None:
    given = tmp_path / "bad.txt"
    given.write_text(LINE + wrong, encoding="utf-8")
    with pytest.raises(CommandError, match=r"Line 2 of bad\.txt"):
        call_command("load_places", file=given, stdout=io.StringIO())
    assert not Place.objects.exists()
