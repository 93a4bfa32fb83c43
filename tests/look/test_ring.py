"""The ring: its segments share the circle, and it closes only when nothing is open."""

import math
import re
from itertools import pairwise

import pytest

from jobs import ring


def points(d: str) -> list[tuple[float, float]]:
    """Where a segment's outline begins, turns and ends: the last two figures before each command."""
    return [
        (float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)(?=[ALZ]|$)", d.replace("M", "").strip())
    ]


@pytest.mark.parametrize("count", [1, 2, 5, 9, 17])
def test_segments_and_gaps_fill_the_circle(count):
    drawn = ring.build(segments=["open"] * count).segments
    # A circle has 360 degrees; tokens of the design: 3.2 degrees between two segments.
    assert sum(s.end - s.start for s in drawn) + 3.2 * count == pytest.approx(360.0)
    for one, following in pairwise(drawn):
        assert following.start - one.end == pytest.approx(3.2)


def test_every_corner_lies_on_one_of_the_two_radii():
    for segment in ring.build(segments=["met"] * 9).segments:
        radii = [math.dist((100, 100), point) for point in points(segment.d)]
        assert radii == pytest.approx([94, 94, 66, 66], abs=0.02)


def test_the_first_segment_begins_right_of_the_top_and_they_run_clockwise():
    drawn = ring.build(segments=["open"] * 4).segments
    # By hand: a quarter of the circle each, its middle at 45 degrees from the top, radius 80: 80 / sqrt(2) = 56.57.
    assert [(s.x, s.y) for s in drawn] == [(156.57, 43.43), (156.57, 156.57), (43.43, 156.57), (43.43, 43.43)]


def test_a_single_requirement_takes_the_long_way_round():
    (only,) = ring.build(segments=["next"]).segments
    assert "A94 94 0 1 1" in only.d


def test_it_is_closed_only_when_all_are_met():
    assert ring.build(segments=["met"] * 9).closed
    assert not ring.build(segments=["met"] * 8 + ["open"]).closed
    assert not ring.build(segments=["met"] * 8 + ["next"]).closed


def test_a_waived_requirement_closes_the_ring_and_stays_visible():
    drawn = ring.build(segments=["met", "waived", "met"])
    assert (drawn.closed, drawn.met, drawn.waived) == (True, 3, 1)
    assert [bool(s.hatch) for s in drawn.segments] == [False, True, False]


def test_the_hatching_of_a_waived_one_stays_inside_its_segment():
    waived = ring.build(segments=["met", "waived", "met"]).segments[1]
    for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", waived.hatch):
        east, north = float(x) - 100, 100 - float(y)
        assert 66 <= math.hypot(east, north) <= 94
        assert waived.start - 0.1 <= math.degrees(math.atan2(east, north)) % 360 <= waived.end + 0.1


def test_a_ring_of_nothing_is_refused():
    with pytest.raises(ValueError, match="at least one requirement"):
        ring.build(segments=[])
