"""Distances against published examples and two libraries of geodesy."""

import math

import haversine
import pytest
from geographiclib.geodesic import Geodesic
from hypothesis import example, given, settings
from hypothesis import strategies as st

from network.geography import MEAN_RADIUS_KM, great_circle_km

latitudes = st.floats(-90, 90)
longitudes = st.floats(-180, 180)


def test_los_angeles_to_new_york_is_as_in_the_aviation_formulary():
    # Ed Williams, Aviation Formulary V1.46: LAX 33d57m N 118d24m W, JFK 40d38m N 73d47m W: 0.623585 rad, 2144 nmi.
    km = great_circle_km(
        latitude_1=33 + 57 / 60, longitude_1=-(118 + 24 / 60), latitude_2=40 + 38 / 60, longitude_2=-(73 + 47 / 60)
    )
    assert km / MEAN_RADIUS_KM == pytest.approx(0.623585, abs=5e-7)
    assert km == pytest.approx(3972.863, abs=5e-4)  # computed with the mean radius, reference value 10.1


def test_lyon_to_paris_is_as_on_the_page_of_the_haversine_package():
    # PyPI page of haversine 2.x: 392.2172595594006 km.
    km = great_circle_km(latitude_1=45.7597, longitude_1=4.8422, latitude_2=48.8567, longitude_2=2.3508)
    assert km == pytest.approx(392.2172595594006, rel=1e-9)


@settings(max_examples=150, deadline=None)
@given(latitudes, longitudes, latitudes, longitudes)
def test_any_two_places_are_as_far_apart_as_the_haversine_package_says(lat_1, lon_1, lat_2, lon_2):
    ours = great_circle_km(latitude_1=lat_1, longitude_1=lon_1, latitude_2=lat_2, longitude_2=lon_2)
    theirs = haversine.haversine((lat_1, lon_1), (lat_2, lon_2))
    assert ours == pytest.approx(theirs, rel=1e-7, abs=1e-4)


@settings(max_examples=150, deadline=None)
@example(0.0, 0.0, 0.1, 0.0)  # north-south at the equator, where the sphere errs most
@example(89.9, 0.0, 90.0, 0.0)  # at the pole
@given(latitudes, longitudes, latitudes, longitudes)
def test_the_sphere_stays_within_six_tenths_of_a_percent_of_the_ellipsoid(lat_1, lon_1, lat_2, lon_2):
    # WGS 84 by geographiclib; published bound about 0.5 %, worst pair found 0.561 % (reference values, section 10).
    ours = great_circle_km(latitude_1=lat_1, longitude_1=lon_1, latitude_2=lat_2, longitude_2=lon_2)
    geodesic = Geodesic.WGS84.Inverse(lat_1, lon_1, lat_2, lon_2)["s12"] / 1000
    assert ours == pytest.approx(geodesic, rel=0.006, abs=1e-4)


@given(latitudes, longitudes, latitudes, longitudes)
def test_the_way_back_is_as_long(lat_1, lon_1, lat_2, lon_2):
    there = great_circle_km(latitude_1=lat_1, longitude_1=lon_1, latitude_2=lat_2, longitude_2=lon_2)
    back = great_circle_km(latitude_1=lat_2, longitude_1=lon_2, latitude_2=lat_1, longitude_2=lon_1)
    assert there == back


def test_the_other_side_of_the_earth_is_half_a_circumference_away():
    # Geometry of the sphere: half of 2 pi R; the rounding there must not leave the domain of asin.
    km = great_circle_km(latitude_1=-64.8, longitude_1=-140.9, latitude_2=64.8, longitude_2=39.1)
    assert km == pytest.approx(math.pi * MEAN_RADIUS_KM, rel=1e-7)


@pytest.mark.parametrize("value", [90.001, -91, math.nan, math.inf, True, "50", None])
def test_an_impossible_latitude_is_refused_by_its_name_and_value(value):
    with pytest.raises(ValueError, match=r"The argument latitude_2 must lie between -90 and 90 degrees, but it is"):
        great_circle_km(latitude_1=0.0, longitude_1=0.0, latitude_2=value, longitude_2=0.0)
