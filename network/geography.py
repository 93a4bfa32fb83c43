"""Distances on the globe."""

import math

MEAN_RADIUS_KM = 6371.0088  # mean radius R1 = (2a + b) / 3 of GRS80: 6371.0087714 km (DGFI geodis), as it is in use


def great_circle_km(*, latitude_1: float, longitude_1: float, latitude_2: float, longitude_2: float) -> float:
    """Return the great-circle distance between two points on a sphere of the earth's mean radius.

    Formula: hav = sin^2(dlat / 2) + cos lat1 cos lat2 sin^2(dlon / 2); d = 2 R asin(sqrt(hav)).

    Parameters:
        latitude_1 [degree], scalar: north positive, -90 to 90.
        longitude_1 [degree], scalar: east positive, -180 to 180.
        latitude_2 [degree], scalar: of the second point.
        longitude_2 [degree], scalar: of the second point.
    Returns:
        [km] the distance, 0 to 20 015.1.
    Valid range: latitudes within 90, longitudes within 180 degrees; ``ValueError`` for anything else. Against the WGS84
        ellipsoid the error stays within 0.6 %.
    Example:
        >>> round(great_circle_km(latitude_1=45.7597, longitude_1=4.8422, latitude_2=48.8567, longitude_2=2.3508), 6)
        392.21726

    Source: haversine formula; Ed Williams, Aviation Formulary V1.46; example: documentation of the haversine package.
    """
    for name, value, most in (
        ("latitude_1", latitude_1, 90.0),
        ("longitude_1", longitude_1, 180.0),
        ("latitude_2", latitude_2, 90.0),
        ("longitude_2", longitude_2, 180.0),
    ):
        if not -most <= value <= most:
            raise ValueError(f"The argument {name} must lie within {most:g} degrees, but it is {value!r}.")
    phi_1, phi_2 = math.radians(latitude_1), math.radians(latitude_2)
    half_dlat = (phi_2 - phi_1) / 2
    half_dlon = math.radians(longitude_2 - longitude_1) / 2
    hav = math.sin(half_dlat) ** 2 + math.cos(phi_1) * math.cos(phi_2) * math.sin(half_dlon) ** 2
    return 2 * MEAN_RADIUS_KM * math.asin(math.sqrt(min(1.0, hav)))
