"""A program with a token of Ateliers Hautpré, as the tests of the interface use it."""

from __future__ import annotations

import json
from typing import Any

from django.test import Client

from diagnostics import kind as declared
from diagnostics.kind import Kind, Value
from tests.bench import Bench
from tests.cast import make_token
from tests.diagnostics.sound import SOUND


class Program:
    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.token, self.text = make_token(bench.ilse)
        self.client = Client(raise_request_exception=False)

    def ask(self, method: str, path: str, body: Any = None, **headers: str) -> Any:
        """The response; `body` is sent as JSON, or as it is when it is bytes."""
        named = {f"HTTP_{name.upper()}": value for name, value in headers.items()}
        data = body if isinstance(body, bytes | str) else "" if body is None else json.dumps(body)
        return self.client.generic(
            method, f"/api/v1/{path}", data, "application/json", HTTP_AUTHORIZATION=f"Bearer {self.text}", **named
        )

    def get(self, path: str) -> Any:
        answer = self.ask("GET", path)
        assert answer.status_code == 200, answer.content
        return answer.json()

    def upload(self, path: str, data: bytes, **headers: str) -> Any:
        from django.core.files.uploadedfile import SimpleUploadedFile

        named: Any = {f"HTTP_{name.upper()}": value for name, value in headers.items()}
        file = {"file": SimpleUploadedFile("log.csv", data)}
        return self.client.post(f"/api/v1/{path}", file, HTTP_AUTHORIZATION=f"Bearer {self.text}", **named)


def sound_body(bench: Bench, kind: Kind, meters: dict[str, int] | None = None) -> dict[str, Any]:
    """The sound reading of the kind as JSON; logs and second instruments by their ids, where given."""
    sound = SOUND[kind.code]
    body: dict[str, Any] = {"kind": kind.code, "state": kind.states[-1], "stood_by": bench.bram.person_id}
    if kind.per_subject:
        body["subject"] = "1"
    if kind.needs_instrument and kind.unit in bench.ranges:
        body["instrument_range"] = bench.ranges[kind.unit].pk
    if kind.needs_temperature:
        body["temperature_c"] = 24.5 if sound.temperature_c is None else sound.temperature_c
    for field in kind.fields:
        value = sound.values.get(field.name)
        if isinstance(field, declared.Meter | declared.Log):
            value = (meters or {}).get(field.name)
        if value is not None:
            body[field.name] = _as_json(value)
    return body


def _as_json(value: Any) -> Any:
    if isinstance(value, Value):
        return f"{'>' if value.bound == 'at_least' else '<'} {value.figure:g}"
    return list(value) if isinstance(value, tuple) else value
