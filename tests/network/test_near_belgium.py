"""The public JSON for Belgian postcodes of every part, over hundreds of workshops, against two libraries of geodesy."""

from __future__ import annotations

import datetime
import random
from typing import Any

import pytest
from countrystatecity_postal_codes.loaders import DataLoader
from django.test import Client
from django.utils import timezone
from geographiclib.geodesic import Geodesic
from haversine import Unit, haversine_vector

from network import work
from network.models import Membership, Qualification, User, Workshop
from network.models.workshops import band_of
from tests.cast import make_administrator, make_region

pytestmark = pytest.mark.django_db
Points = dict[int, tuple[float, float]]


def scatter(count: int) -> Points:
    """Qualified workshops in and around Belgium, two at each tenth point; written in bulk, as verbs take too long."""
    dice, region, verifier = random.Random(41), make_region(), make_administrator()
    points = [(dice.uniform(49.3, 51.7), dice.uniform(2.3, 6.7)) for _ in range(count)]
    points[::10] = points[1::10]
    people = User.objects.bulk_create(User(email=f"p{n}@bench.example", name=f"P {n}") for n in range(count))
    shops = Workshop.objects.bulk_create(_shop(*point, region) for point in points)
    Membership.objects.bulk_create(
        Membership(person=person, workshop=shop, role="technician", state="active")
        for person, shop in zip(people, shops, strict=True)
    )
    Qualification.objects.bulk_create(_paper(person, verifier) for person in people)
    return {shop.pk: point for shop, point in zip(shops, points, strict=True)}


BITS = work.to_bits(["traction_battery", "inverter"])


def _shop(latitude: float, longitude: float, region: Any) -> Workshop:
    return Workshop(
        name="Shop", street="s", postcode="1", town="t", country="BE", latitude=latitude, longitude=longitude,
        band=band_of(latitude), region=region, email="s@bench.example", phone="1", business_number="1",
        state="approved", work_bits=BITS,
    )  # fmt: skip


def _paper(holder: User, verifier: User) -> Qualification:
    today = timezone.localdate()
    return Qualification(
        holder=holder, title="t", issuer="i", certificate="c", state="verified", work_bits=BITS,
        expires_on=today + datetime.timedelta(days=9), verified_on=today, verified_by=verifier,
    )  # fmt: skip


def expected(points: Points, here: tuple[float, float], most: int) -> list[tuple[float, int]]:
    """Distance and key of the nearest, by the package haversine (R = 6371.0088 km): unrounded distance, then key."""
    keys = list(points)
    distances = haversine_vector([here], [points[key] for key in keys], unit=Unit.KILOMETERS, comb=True)[:, 0]
    return sorted(zip(distances.tolist(), keys, strict=True))[:most]


def test_belgian_postcodes_have_the_order_and_the_distances_of_haversine(belgium: None) -> None:
    points, client = scatter(300), Client()
    # The open data itself, not the rows that were loaded from it; every fourth code (all 1145 take four times as long).
    for place in DataLoader.load_postcodes("BE")[::4]:
        query = {"country": "BE", "postcode": place["code"], "radius_km": 500, "work": "traction_battery", "limit": 6}
        found = client.get("/api/v1/workshops/near", query).json()["results"]
        nearest = expected(points, (place["latitude"], place["longitude"]), 6)
        assert [one["id"] for one in found] == [key for _km, key in nearest]
        for one, (km, key) in zip(found, nearest, strict=True):
            assert (
                one["distance_km"] == pytest.approx(km, abs=0.0501)
                and (one["latitude"], one["longitude"]) == points[key]
            )


def test_distances_are_those_of_the_ellipsoid_within_six_tenths_of_a_percent(belgium: None) -> None:
    points, client = scatter(100), Client()
    for place in DataLoader.load_postcodes("BE")[::100]:
        here = (place["latitude"], place["longitude"])
        query = {"country": "BE", "postcode": place["code"], "radius_km": 500, "limit": 100}
        found = client.get("/api/v1/workshops/near", query).json()["results"]
        assert len(found) == 100
        for one in found:
            # WGS 84 by the package geographiclib (Karney 2013); 0.6 %: worst pair found 0.561 %; 0.05 km of rounding.
            line = Geodesic.WGS84.Inverse(*here, *points[one["id"]])["s12"] / 1000
            assert abs(one["distance_km"] - line) <= 0.006 * line + 0.05


@pytest.mark.parametrize("radius", [5, 17.5, 60])
def test_the_radius_cuts_where_haversine_says(belgium: None, radius: float) -> None:
    points, client = scatter(100), Client()
    for place in DataLoader.load_postcodes("BE")[::60]:
        query = {"country": "BE", "postcode": place["code"], "radius_km": radius, "limit": 100}
        answer = client.get("/api/v1/workshops/near", query).json()
        everyone = expected(points, (place["latitude"], place["longitude"]), 100)
        inside = [key for km, key in everyone if km <= radius]
        assert [one["id"] for one in answer["results"]] == inside
        assert [one["id"] for one in answer["beyond"]] == ([] if inside else [key for _km, key in everyone[:3]])
