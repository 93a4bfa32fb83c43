"""Debian's Chromium for the browser tests, and a mail server of our own that keeps what it is sent."""

from __future__ import annotations

import os
import shutil
import socket
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from aiosmtpd.controller import Controller
from aiosmtpd.handlers import Message
from django.test import Client

os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"  # Playwright's loop runs in the thread of the tests

QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, Any]) -> dict[str, Any]:
    chromium = shutil.which("chromium")
    assert chromium, "Chromium is missing: apt-get install chromium"
    return {**browser_type_launch_args, "executable_path": chromium, "args": QUIET}


class Kept(Message):
    """Keeps every mail."""

    def __init__(self) -> None:
        super().__init__()
        self.mails: list[Any] = []

    def handle_message(self, message: Any) -> None:
        self.mails.append(message)


@pytest.fixture
def mailbox(settings: Any) -> Iterator[list[Any]]:
    """A mail server on a free port that the portal sends to; the list of what arrived."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    kept = Kept()
    server = Controller(kept, hostname="127.0.0.1", port=port)
    server.start()
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", port
    yield kept.mails
    server.stop()


@pytest.fixture
def page_of(browser: Any, live_server: Any) -> Iterator[Callable[..., Any]]:
    """Open a page as somebody, in a browser of their own, on a phone with scripts unless told otherwise."""
    opened = []

    def open_as(person: Any = None, width: int = 360, scripts: bool = True) -> Any:
        context = browser.new_context(
            base_url=live_server.url, viewport={"width": width, "height": 800}, java_script_enabled=scripts
        )
        if person is not None:
            client = Client()
            client.force_login(person)
            cookie = client.cookies["session"]
            context.add_cookies([{"name": "session", "value": cookie.value, "url": live_server.url}])
        opened.append(context)
        page = context.new_page()
        page.set_default_timeout(10_000)
        return page

    yield open_as
    for context in opened:
        context.close()
