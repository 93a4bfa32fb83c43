"""Run the demo: migrate, load, start the web server and the deliverer of notices, and stop both together.

RESET=1 starts over; otherwise what was typed into the demo is kept.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
import threading
from pathlib import Path

os.environ["DEMO"] = "1"
os.environ["DJANGO_SETTINGS_MODULE"] = "portal.settings"

import django
from django.conf import settings
from django.core.management import call_command


def prepare() -> None:
    """Bring database, static files and demo data up to date; quick when they are."""
    if os.environ.get("RESET") == "1":
        shutil.rmtree(settings.STATE, ignore_errors=True)
        settings.STATE.mkdir()
        # The key that signs sessions and links was thrown away with the rest: read the settings afresh.
        os.environ["RESET"] = ""
        os.execv(sys.executable, [sys.executable, "-m", "portal.demo"])
    call_command("migrate", verbosity=0, interactive=False)
    call_command("createcachetable", verbosity=0)
    call_command("collectstatic", verbosity=0, interactive=False)
    call_command("load_places", missing_only=True)
    call_command("load_demo")


def children() -> list[subprocess.Popen[bytes]]:
    """The web server and the deliverer, as processes of their own."""
    python = sys.executable
    web = [python, "-m", "gunicorn", "portal.wsgi", "--bind", f"127.0.0.1:{settings.PORT}", "--workers", "2"]
    deliverer = [python, "manage.py", "deliver_notices"]
    return [subprocess.Popen([*web, "--log-level", "warning"]), subprocess.Popen(deliverer)]


def main() -> int:
    os.chdir(Path(settings.ROOT))
    prepare()
    from portal.management.commands.load_demo import sign_ins

    running = children()
    ending = threading.Event()
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, lambda *_: ending.set())
    print(sign_ins(), flush=True)
    while not ending.wait(0.5):
        if any(child.poll() is not None for child in running):
            print("One of the two processes ended; stopping the other.", flush=True)
            break
    for child in running:
        if child.poll() is None:
            child.terminate()
    return max(abs(child.wait(timeout=15)) for child in running) if not ending.is_set() else 0


if __name__ == "__main__":
    django.setup()
    sys.exit(main())
