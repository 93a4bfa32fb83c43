"""The public JSON: the right workshops in the right order, and a problem document for whatever can't be."""

from __future__ import annotations

import random
from typing import Any

import pytest
from django.test import Client
from geographiclib.geodesic import Geodesic
from haversine import haversine

from network.models import Place, Workshop
from tests.cast import make_member, make_qualification, make_workshop

pytestmark = pytest.mark.django_db
NEAR = "/api/v1/workshops/near"


def ask(**query: Any) -> tuple[int, dict[str, Any]]:
    answer = Client().get(NEAR, query)
    kind = "application/json" if answer.status_code == 200 else "application/problem+json"
    assert answer.headers["Content-Type"] == kind
    return answer.status_code, answer.json()


def spread(count: int) -> list[Workshop]:
    """Qualified workshops all over Belgium."""
    dice = random.Random(7)
    shops = []
    for n in range(count):
        shop = make_workshop(f"Shop {n}", latitude=dice.uniform(49.6, 51.4), longitude=dice.uniform(2.7, 6.2))
        make_qualification(make_member(shop).person, ["traction_battery", dice.choice(["inverter", "charging"])])
        shops.append(shop)
    return shops


def test_order_and_distances_for_many_belgian_postcodes(belgium: None) -> None:
    shops = {shop.pk: shop for shop in spread(40)}
    codes = list(Place.objects.exclude(postcode="").order_by("normalised").values_list("postcode", flat=True))[::23]
    assert len(codes) >= 49
    for code in codes:
        status, found = ask(country="BE", postcode=code, radius_km=500, limit=100, work="traction_battery")
        here = (found["place"]["latitude"], found["place"]["longitude"])
        assert status == 200 and len(found["results"]) == 40 and found["beyond"] == []
        unrounded = sorted((haversine(here, (s.latitude, s.longitude)), pk) for pk, s in shops.items())
        assert [one["id"] for one in found["results"]] == [pk for _km, pk in unrounded]
        for one, (km, pk) in zip(found["results"], unrounded, strict=True):
            # haversine with R = 6371.0088 km (package haversine), rounded to 0.1 km
            assert one["distance_km"] == pytest.approx(km, abs=0.0501)
            # along the ellipsoid WGS 84 (package geographiclib, Karney 2013)
            line = Geodesic.WGS84.Inverse(*here, shops[pk].latitude, shops[pk].longitude)["s12"] / 1000
            assert abs(one["distance_km"] - line) <= 0.006 * line + 0.05


def test_the_answer_has_the_agreed_members(belgium: None) -> None:
    shop = spread(1)[0]
    _status, found = ask(country="BE", postcode="4000", radius_km=500)
    assert set(found) == {"place", "results", "beyond"}
    assert set(found["place"]) == {"country", "postcode", "name", "latitude", "longitude", "precision"}
    (one,) = found["results"]
    assert set(one) == {"id", "name", "town", "latitude", "longitude", "distance_km", "work"}
    assert one["id"] == shop.pk and "traction_battery" in one["work"] and len(one["work"]) == 2


def test_work_may_be_repeated_and_all_of_it_must_be_covered(belgium: None) -> None:
    spread(20)
    asked = ["traction_battery", "inverter"]
    _status, found = ask(country="BE", postcode="1000", radius_km=500, work=asked)
    assert 0 < len(found["results"]) < 20 and all(set(asked) <= set(one["work"]) for one in found["results"])
    twice = ask(country="BE", postcode="1000", radius_km=500, work=[*asked, "inverter"])[1]
    assert twice == found


def test_the_radius_is_fifty_and_the_limit_twenty_unless_given(belgium: None) -> None:
    spread(60)
    _status, found = ask(country="BE", postcode="1000")
    assert 0 < len(found["results"]) <= 20 and all(one["distance_km"] <= 50.0 for one in found["results"])
    assert len(ask(country="BE", postcode="1000", radius_km=500)[1]["results"]) == 20
    assert len(ask(country="BE", postcode="1000", radius_km=500, limit=1)[1]["results"]) == 1


def test_beyond_is_filled_only_where_the_radius_is_empty(belgium: None) -> None:
    far = make_workshop(latitude=51.2, longitude=2.9)
    make_qualification(make_member(far).person, ["inverter"])
    _status, found = ask(country="BE", postcode="4700", radius_km=10)
    assert found["results"] == [] and [one["id"] for one in found["beyond"]] == [far.pk]


@pytest.mark.parametrize("typed", ["B-4000", "4000 ", "be4000"])
def test_a_postcode_may_be_written_in_any_way(belgium: None, typed: str) -> None:
    assert ask(country="be", postcode=typed)[1]["place"]["postcode"] == "4000"


@pytest.mark.parametrize("code", ["0000", "9999", "4", "400", "Liège", "99999999", "x"])
def test_an_unknown_postcode_is_404(belgium: None, code: str) -> None:
    status, body = ask(country="BE", postcode=code)
    assert status == body["status"] == 404 and body["detail"]


def test_a_country_without_places_is_404(belgium: None) -> None:
    assert ask(country="NZ", postcode="4000")[0] == 404


BAD = [
    {"country": None}, {"postcode": None}, {"country": ""}, {"postcode": ""}, {"postcode": "   "},
    {"country": "Belgium"}, {"country": "B1"}, {"country": "BE\0"},
    {"postcode": "4000\0"}, {"postcode": "4" * 500}, {"radius_km": "0"},
    {"radius_km": "0.99"}, {"radius_km": "500.01"}, {"radius_km": "-5"}, {"radius_km": "nan"}, {"radius_km": "inf"},
    {"radius_km": "-inf"}, {"radius_km": "9e99"}, {"radius_km": "1e999"}, {"radius_km": ""}, {"radius_km": "many"},
    {"radius_km": "5\0"}, {"limit": "0"}, {"limit": "101"}, {"limit": "-1"}, {"limit": "2.5"}, {"limit": "9" * 400},
    {"limit": "9" * 5000}, {"limit": "NaN"}, {"limit": ""}, {"work": "welding"}, {"work": ""}, {"work": "inverter\0"},
    {"work": ["inverter", "x"]}, {"country": ["BE", "NL"]}, {"postcode": ["4000", "4000"]}, {"limit": ["1", "2"]},
]  # fmt: skip


@pytest.mark.parametrize("change", BAD, ids=lambda change: str(change)[:60])
def test_a_bad_value_is_400_with_a_sentence(belgium: None, change: dict[str, Any]) -> None:
    query = {"country": "BE", "postcode": "4000", "radius_km": "50", "limit": "5", "work": "inverter"} | change
    status, body = ask(**{name: value for name, value in query.items() if value is not None})
    assert status == body["status"] == 400 and body["title"] == "Bad Request" and body["detail"]


@pytest.mark.parametrize(
    "raw", ["country=%FF%FE&postcode=4000", "country=BE&postcode=%ED%A0%80", "%00=%00", "&&&=", "country[]=BE"]
)
def test_bytes_that_are_no_text_are_refused(belgium: None, raw: str) -> None:
    answer = Client().get(f"{NEAR}?{raw}")
    assert answer.status_code in (400, 404) and answer.json()["status"] == answer.status_code


@pytest.mark.parametrize("method", ["post", "put", "patch", "delete"])
def test_another_method_is_405(method: str) -> None:
    answer = getattr(Client(), method)(NEAR)
    assert answer.status_code == 405 and answer.json()["title"] == "Method Not Allowed"


def test_nothing_personal_is_in_the_answer(belgium: None) -> None:
    shop = make_workshop(latitude=50.64, longitude=5.57, email="canary@bench.example", phone="+49 30 23125 555")
    make_qualification(make_member(shop, name="Canary Person").person, ["inverter"])
    text = Client().get(NEAR, {"country": "BE", "postcode": "4000"}).content.decode()
    assert shop.name in text and "Canary" not in text and "canary@" not in text and "23125" not in text
