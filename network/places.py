"""Places: how a postcode is written, looking one up by postcode or by name, and what is near to an unknown one.

A row is a postcode with its point, or a town by its name alone (then it has no postcode, and its plain name is what is
matched). Codes hold a digit and plain names of towns are letters, so the two never meet in one column.
"""

from __future__ import annotations

import math
import re
import unicodedata

from django.db.models import QuerySet

from network.geography import KM_PER_DEGREE
from network.models import Place

COUNTRIES = ("BE", "NL", "LU", "DE")
# What is matched of a code where people write more: the letters behind a Dutch code name a street.
KEPT = {"NL": re.compile(r"\d{4}")}
LONGEST = 12
MOST_TYPED = 80


def normalise_postcode(country: str, text: str) -> str:
    """The postcode as it is matched: "B-4000" is 4000, "1012 AB" is 1012, "MD-2001" is 2001, "100 05" is 10005."""
    plain = re.sub(r"[^0-9A-Z]", "", text.upper())
    plain = re.sub(rf"^({re.escape(country)}|{re.escape(country[:1])})(?=\d)", "", plain)
    kept = KEPT.get(country)
    found = kept.match(plain) if kept else None
    return (found.group(0) if found else plain)[:LONGEST]


def plain_name(text: str) -> str:
    """A name as it is matched: no accents, capitals, blanks or hyphens; "Marche-en-Famenne" is marcheenfamenne."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(sign for sign in apart if sign.isalnum())[:120]


def place_of_postcode(country: str, text: str) -> Place | None:
    """The place of exactly this postcode, however it is written; None where nobody knows it."""
    code = normalise_postcode(country, text)
    return _of_country(country).filter(normalised=code).first() if _has_digit(code) else None


def find_place(country: str, text: str) -> Place | None:
    """The place of a postcode ("4020", "4020 Liège"), or else of a name ("Liège"); None where nobody knows it."""
    for candidate in (text, *_codes_in(text)):
        place = place_of_postcode(country, candidate)
        if place:
            return place
    name = plain_name(text[:MOST_TYPED])
    if not name or _has_digit(name):
        return None
    town = _of_country(country).filter(normalised=name).first()
    # Some localities are known only as the name of a postcode.
    return town or _of_country(country).filter(name__iexact=text.strip()[:MOST_TYPED]).order_by("normalised").first()


def near_matches(country: str, text: str, most: int = 4) -> list[Place]:
    """What may have been meant: codes that begin alike, nearest in number first; or towns whose names begin alike."""
    codes = _codes_in(text[:MOST_TYPED])
    if not codes:
        return _towns_like(country, plain_name(text[:MOST_TYPED]), most)
    code = normalise_postcode(country, codes[0])
    found: list[Place] = []
    for length in range(len(code), 0, -1):
        found = list(_of_country(country).exclude(postcode="").filter(normalised__startswith=code[:length]))
        if len(found) >= most:
            break
    return sorted(found, key=lambda place: (_apart(place.normalised, code), place.normalised))[:most]


def towns_around(latitude: float, longitude: float, reach_km: float, most: int = 250) -> list[Place]:
    """Towns in a box around the point, the largest first."""
    up = reach_km / KM_PER_DEGREE
    side = up / max(math.cos(math.radians(latitude)), 0.01)
    box = Place.objects.filter(
        postcode="",
        people__gt=0,
        latitude__range=(latitude - up, latitude + up),
        longitude__range=(longitude - side, longitude + side),
    )
    return list(box.order_by("-people", "pk")[:most])


def _towns_like(country: str, name: str, most: int) -> list[Place]:
    """Towns that share the longest beginning with the name, of three letters at least."""
    for length in range(len(name), 2, -1):
        alike = _of_country(country).filter(postcode="", normalised__startswith=name[:length])
        found = list(alike.order_by("-people", "normalised")[:most])
        if found:
            return found
    return []


def _codes_in(text: str) -> list[str]:
    """Words with a digit, which may be a code: written together ("100 05 Praha"), and each for itself."""
    words = [word for word in text.split() if _has_digit(word)]
    return ["".join(words), *words] if len(words) > 1 else words


def _of_country(country: str) -> QuerySet[Place]:
    return Place.objects.filter(country=country)


def _has_digit(text: str) -> bool:
    return any(sign in "0123456789" for sign in text)


def _apart(one: str, other: str) -> int:
    """How far two codes lie apart as numbers; letters count as nothing, a shorter one is filled up."""
    longest = max(len(one), len(other))
    first, second = (int(re.sub(r"[^0-9]", "", code.ljust(longest, "0")) or "0") for code in (one, other))
    return abs(first - second)
