"""Places by postcode: how a postcode is written, looked up, and what is near to one that nobody knows."""

from __future__ import annotations

import re

from django.db.models import QuerySet

from network.models import Place

COUNTRIES = ("BE", "NL", "LU", "DE")
# Codes are matched without what people put around them: the country's letter, blanks, the letters of a Dutch street.
KEEP = {"NL": re.compile(r"^\d{4}")}
LONGEST = 12


def normalise_postcode(country: str, text: str) -> str:
    """The postcode as it is matched: "B-4000" and "4000" are one, so are "1012 AB" and "1012", "MD-2001" and "2001"."""
    plain = re.sub(r"[^0-9A-Z]", "", text.upper())
    plain = re.sub(rf"^({country}|{country[:1]})(?=\d)", "", plain)
    kept = KEEP.get(country)
    found = kept.match(plain) if kept else None
    return (found.group(0) if found else plain)[:LONGEST]


def place_of_postcode(country: str, text: str) -> Place | None:
    """The place of exactly this postcode, however it is written; None where nobody knows it."""
    code = normalise_postcode(country, text)
    return _of_country(country).filter(normalised=code).first() if any(sign.isdigit() for sign in code) else None


def find_place(country: str, text: str) -> Place | None:
    """The place of a postcode ("4020", "4020 Liège"), or else of a name ("Liège"); None where nobody knows it."""
    text = text.replace("\0", " ").strip()[:80]
    first_word = text.split(" ")[0] if text else ""
    for candidate in (text, first_word):
        place = place_of_postcode(country, candidate)
        if place:
            return place
    return _of_country(country).filter(name__iexact=text).order_by("normalised").first() if text else None


def near_matches(country: str, text: str, most: int = 4) -> list[Place]:
    """Places whose code begins as the text does, the longest common beginning first; or whose name does."""
    code = normalise_postcode(country, text.split(" ")[0] if text.strip() else "")
    for length in range(len(code), 0, -1):
        alike = _of_country(country).filter(normalised__startswith=code[:length]).order_by("normalised")
        found = sorted(alike, key=lambda place: _apart(place.normalised, code))[:most]
        if found:
            return found
    name = text.replace("\0", " ").strip()[:80]
    return (
        list(_of_country(country).filter(name__istartswith=name).order_by("name", "normalised")[:most]) if name else []
    )


def _of_country(country: str) -> QuerySet[Place]:
    return Place.objects.filter(country=country)


def _apart(one: str, other: str) -> int:
    """How far two codes lie apart as numbers; letters count as nothing."""
    digits = [int("".join(c for c in code if c.isdigit()) or "0") for code in (one, other)]
    return abs(digits[0] - digits[1])
