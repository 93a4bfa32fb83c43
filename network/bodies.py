"""Bodies of requests as strangers' programs send them: small, no deeper than a person would write, plain text only."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import IO, Any

from django.utils.translation import gettext as _
from rest_framework.exceptions import APIException, ParseError
from rest_framework.parsers import BaseParser

LARGEST_BODY = 1_000_000
DEEPEST = 20


class TooLarge(APIException):
    status_code = 413
    default_detail = f"The body is larger than {LARGEST_BODY} bytes."


class SmallJSONParser(BaseParser):
    """JSON objects. What the library's parser lets through and would break later is refused here with a sentence."""

    media_type = "application/json"

    def parse(self, stream: IO[Any], media_type: Any = None, parser_context: Mapping[str, Any] | None = None) -> Any:
        raw = stream.read(LARGEST_BODY + 1)
        if len(raw) > LARGEST_BODY:
            raise TooLarge
        try:
            body = json.loads(raw.decode("utf-8"), parse_constant=_refuse_constant)
        except RecursionError as error:
            raise ParseError(_("The JSON is nested too deeply.")) from error
        except ValueError as error:
            raise ParseError(_("This is no JSON: %(why)s") % {"why": str(error)[:200]}) from error
        _look_at(body, 0)
        if not isinstance(body, dict):
            raise ParseError(_("Send a JSON object."))
        return body


def _refuse_constant(name: str) -> None:
    raise ValueError(f"{name} is no JSON")


def _look_at(value: Any, depth: int) -> None:
    """Refuse what no column holds: half characters (lone surrogates), the NUL byte, and nests."""
    if depth > DEEPEST:
        raise ParseError(_("The JSON is nested too deeply."))
    if isinstance(value, str) and ("\0" in value or any("\ud800" <= sign <= "\udfff" for sign in value)):
        raise ParseError(_("A text holds a character that is none: NUL or half of a pair."))
    if isinstance(value, dict):
        for name, one in value.items():
            _look_at(name, depth + 1)
            _look_at(one, depth + 1)
    elif isinstance(value, list):
        for one in value:
            _look_at(one, depth + 1)
