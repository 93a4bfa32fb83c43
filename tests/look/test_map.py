"""The map: distances and directions against geographiclib, and flags that can all be read."""

import math

import pytest
from django.template.loader import render_to_string
from geographiclib.geodesic import Geodesic

from network import map as drawn_map
from tests.look.drawing import pictures

LIEGE = (50.64, 5.57)  # postcode 4020, rounded


def place(bearing: float, km: float) -> tuple[float, float]:
    there = Geodesic.WGS84.Direct(*LIEGE, bearing, 1000 * km)
    return there["lat2"], there["lon2"]


def built(workshops=(), towns=(), radius_km=25.0):
    return drawn_map.build(
        title="Workshops round 4020",
        place="4020",
        latitude=LIEGE[0],
        longitude=LIEGE[1],
        radius_km=radius_km,
        workshops=[
            drawn_map.Workshop(number=i + 1, latitude=a, longitude=b, inside=inside)
            for i, ((a, b), inside) in enumerate(workshops)
        ],
        towns=[drawn_map.Town(name=name, latitude=a, longitude=b) for name, (a, b) in towns],
    )


@pytest.mark.parametrize("bearing", [0, 45, 90, 135, 225, 300])
@pytest.mark.parametrize("size", ["wide", "phone"])
def test_a_flag_stands_at_its_distance_and_in_its_direction(bearing, size):
    d = getattr(built([(place(bearing, 20), True)]), size)
    (flag,) = d.flags
    east, north = flag.x - d.x, d.y - flag.y
    # A flat drawing of a round earth: within one per cent of geographiclib's ellipsoid at this distance.
    assert math.hypot(east, north) / d.radius * 25 == pytest.approx(20, rel=0.01)
    assert (
        math.hypot(
            east - math.sin(math.radians(bearing)) * 20 / 25 * d.radius,
            north - math.cos(math.radians(bearing)) * 20 / 25 * d.radius,
        )
        < 2.5
    )


def test_the_scale_bar_is_as_long_as_it_says():
    d = built().wide
    assert d.bar / d.bar_km == pytest.approx(d.radius / 25, rel=0.001)


@pytest.mark.parametrize("size", ["wide", "phone"])
def test_no_flag_covers_another_or_leaves_the_drawing(size):
    crowd = [(place(40 + i * 3, 12 + i / 10), True) for i in range(12)] + [(place(90, 24.5), True)]
    d = getattr(built(crowd), size)
    assert len(d.flags) == 13
    for index, one in enumerate(d.flags):
        assert 0 <= one.cloth_x <= d.width - 24
        assert 0 <= one.cloth_y <= d.height - 24
        for other in d.flags[:index]:
            assert abs(one.cloth_x - other.cloth_x) >= 24 or abs(one.cloth_y - other.cloth_y) >= 24


def test_near_the_right_edge_the_flag_turns_left():
    d = built([(place(90, 30), False)]).wide
    (flag,) = d.flags
    assert flag.cloth_x == pytest.approx(flag.x - 24)


def test_names_of_towns_keep_apart_and_the_larger_comes_first():
    spot = place(200, 15)
    towns = built(towns=[("Large", spot), ("Small", (spot[0] + 0.001, spot[1]))], radius_km=25).wide.towns
    # Both stand on one spot: the second fits only on the other side of it, or not at all.
    assert towns[0].name == "Large"
    assert all(town.end != towns[0].end for town in towns[1:])


def test_a_place_beyond_the_drawing_is_left_out():
    assert built([(place(0, 300), False)]).wide.flags == ()


def test_the_picture_says_what_it_shows_and_holds_no_style():
    chart = built([(place(10, 8), True), (place(90, 29), False)])
    html = render_to_string(chart.template, {"chart": chart})
    assert "style=" not in html
    wide, phone = pictures(html)
    assert "25 km round 4020" in wide.find("desc").text
    assert [g.get("class") for g in wide.iter("g")] == [None, "hollow"]
    assert phone.get("viewBox") == "0 0 328 310"


def test_a_search_without_a_radius_is_refused():
    with pytest.raises(ValueError, match="radius"):
        built(radius_km=0)
