"""What a request asks for in its parameters: words to look for, and the key of a row."""

from __future__ import annotations

from django.http import HttpRequest

NO_KEY = -1  # no row has it, so that a key that can't be one is simply not found
LONGEST_KEY = 18  # digits of the largest key that both databases hold


def words_to_find(request: HttpRequest, longest: int = 60) -> str:
    """The words of a search, without the byte that PostgreSQL refuses."""
    return request.GET.get("q", "").replace("\0", "").strip()[:longest]


def key_of(text: object) -> int:
    """The key in a text, or one that no row has."""
    digits = str(text)
    return int(digits) if digits.isdecimal() and len(digits) <= LONGEST_KEY else NO_KEY
