"""Where things lie on the Earth, and how far apart."""

import math
from collections.abc import Callable
from numbers import Real

MEAN_RADIUS_KM = 6371.0088  # (2a + b) / 3 of the GRS80 ellipsoid, DGFI geodis; rounded as in common use
KM_PER_DEGREE = MEAN_RADIUS_KM * math.pi / 180.0  # of latitude


def great_circle_km(*, latitude_1: float, longitude_1: float, latitude_2: float, longitude_2: float) -> float:
    """Return the distance between two places along the surface of a sphere of the Earth's mean radius.

    Formula: h = sin^2((lat2 - lat1) / 2) + cos lat1 cos lat2 sin^2((lon2 - lon1) / 2); d = 2 R asin(sqrt(h)),
    R = 6371.0088 km.

    Parameters:
        latitude_1 [degrees], scalar: of the first place, north positive.
        longitude_1 [degrees], scalar: of the first place, east positive.
        latitude_2 [degrees], scalar: of the second place.
        longitude_2 [degrees], scalar: of the second place.
    Returns:
        [km] the distance; within 0.6 % of the one along the ellipsoid WGS 84.
    Valid range: latitude -90 to 90, longitude -360 to 360. ``ValueError`` for anything else, and for what is no finite
        number.
    Example:
        >>> round(great_circle_km(latitude_1=45.7597, longitude_1=4.8422, latitude_2=48.8567, longitude_2=2.3508), 6)
        392.21726

    Source: haversine formula; example: page of the package haversine 2.x (Lyon, Paris).
    """
    for name, degrees, highest in (
        ("latitude_1", latitude_1, 90.0),
        ("latitude_2", latitude_2, 90.0),
        ("longitude_1", longitude_1, 360.0),
        ("longitude_2", longitude_2, 360.0),
    ):
        _on_earth(name, degrees, highest)
    return kilometres_from(latitude_1, longitude_1)(latitude_2, longitude_2)


def kilometres_from(latitude: float, longitude: float) -> Callable[[float, float], float]:
    """The distance [km] from one place to any other, both in degrees: `great_circle_km` for thousands of places that
    are known to lie on the Earth, such as rows of a table, and aren't checked again."""
    radians, sin, cos, asin, sqrt = math.radians, math.sin, math.cos, math.asin, math.sqrt
    here, meridian = radians(latitude), radians(longitude)
    cosine = cos(here)

    def away(latitude: float, longitude: float) -> float:
        there = radians(latitude)
        h = sin((there - here) / 2.0) ** 2 + cosine * cos(there) * sin((radians(longitude) - meridian) / 2.0) ** 2
        return 2.0 * MEAN_RADIUS_KM * asin(sqrt(min(1.0, h)))

    return away


def _on_earth(name: str, degrees: float, highest: float) -> None:
    """Refuse what is no angle within the range."""
    if not (isinstance(degrees, Real) and not isinstance(degrees, bool) and -highest <= degrees <= highest):
        raise ValueError(
            f"The argument {name} must lie between {-highest:g} and {highest:g} degrees, but it is {degrees!r}."
        )
