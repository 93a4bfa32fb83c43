"""A mail server of our own, for portal processes that run beside the test: it keeps what it is sent."""

from __future__ import annotations

import email
import email.policy
import socket
from collections.abc import Iterator
from contextlib import contextmanager
from email.message import EmailMessage
from typing import Any

from aiosmtpd.controller import Controller


class Sink:
    """What came in, and whom it was for."""

    def __init__(self, port: int) -> None:
        self.port = port
        self.mails: list[EmailMessage] = []
        self.recipients: list[str] = []

    async def handle_DATA(self, server: Any, session: Any, envelope: Any) -> str:
        self.recipients += envelope.rcpt_tos
        self.mails.append(email.message_from_bytes(envelope.content, policy=email.policy.default))
        return "250 OK"

    @property
    def ids(self) -> list[str]:
        return [mail["Message-ID"] for mail in self.mails]


def free_port() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]


@contextmanager
def listening(sink: Sink) -> Iterator[Sink]:
    """The sink answers on its port inside the block; outside of it connections are refused."""
    server = Controller(sink, hostname="127.0.0.1", port=sink.port, ready_timeout=10)
    server.start()
    try:
        yield sink
    finally:
        server.stop()
