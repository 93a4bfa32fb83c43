"""Paths that need no database: logs, integration, survival, charts, the first start."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import tempfile
from functools import cache, partial
from pathlib import Path

import numpy as np
import polars
from django.conf import settings
from django.template import engines
from django.template.loader import render_to_string

from diagnostics.calculations.battery import capacity_from_log, charge_ah
from diagnostics.calculations.measurement_log import read_log
from diagnostics.calculations.outcomes import survival
from tests.bench_rows import Pair, in_turns, row
from tests.look import chart_examples

MORE_MEGABYTES = 200.0


@cache
def log_bytes(rows: int) -> bytes:
    """A discharge as loggers write it: time, voltage, current, temperature."""
    random = np.random.default_rng(7)
    times = np.arange(rows) * 0.1
    volts = 400 - times / times[-1] * 60 + random.normal(0, 0.05, rows)
    amperes = 20 + random.normal(0, 0.02, rows)
    frame = polars.DataFrame(
        {"time (s)": times.round(1), "voltage (V)": volts.round(3), "current (A)": amperes.round(3), "t": 24.5}
    )
    written = io.BytesIO()
    frame.write_csv(written)
    return written.getvalue()


@row(path="log of 1 000 000 rows: read, check, integrate", reference="polars.read_csv and numpy.trapezoid", goal=5)
def log(small: bool) -> Pair:
    data = log_bytes(10_000 if small else 1_000_000)

    def ours() -> float:
        return capacity_from_log(log=read_log(data=data)).charge_ah

    def reference() -> float:
        frame = polars.read_csv(data)
        return float(np.trapezoid(frame["current (A)"].to_numpy(), frame["time (s)"].to_numpy())) / 3600

    assert abs(ours() - reference()) < 1e-6 * reference()
    return in_turns(ours, reference, rounds=7)


@row(path="the same: how much more memory", reference="the design's", goal=1, unit="MB")
def log_memory(small: bool) -> Pair:
    """How far the process's high-water mark rises while a log is read; Linux alone tells it."""
    data = log_bytes(10_000 if small else 1_000_000)
    Path("/proc/self/clear_refs").write_text("5")  # the mark begins again at what is held now
    before = _highest_megabytes()
    capacity_from_log(log=read_log(data=data))
    return _highest_megabytes() - before, MORE_MEGABYTES


def _highest_megabytes() -> float:
    status = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    return int(next(line for line in status if line.startswith("VmHWM")).split()[1]) / 1024


@row(path="coulomb counting, 1 000 000 samples", reference="numpy.trapezoid", goal=1.5)
def coulombs(small: bool) -> Pair:
    count = 10_000 if small else 1_000_000
    times = np.arange(count) * 0.1
    amperes = np.random.default_rng(7).normal(20, 1, count)
    return in_turns(
        lambda: charge_ah(times_s=times, currents_a=amperes), lambda: np.trapezoid(amperes, times) / 3600, rounds=25
    )


@row(path="survival curve of 100 000 outcomes", reference="plain numpy", goal=3)
def curve(small: bool) -> Pair:
    random = np.random.default_rng(7)
    count = 1_000 if small else 100_000
    months, failed = random.integers(0, 25, count).astype(float), random.random(count) < 0.2

    def reference() -> np.ndarray:
        _times, places = np.unique(months, return_inverse=True)
        died = np.bincount(places, weights=failed)
        at_risk = count - np.concatenate(([0], np.cumsum(np.bincount(places))[:-1]))
        share = np.cumprod(1 - died / at_risk)
        return np.sqrt(share**2 * np.cumsum(died / (at_risk * np.maximum(at_risk - died, 1))))

    return in_turns(lambda: survival(durations_months=months, failed=failed), reference, rounds=25)


CHARTS = {
    "deviation_bars": chart_examples.windings,
    "limit_line": chart_examples.insulation,
    "curve": chart_examples.discharge,
}
# The barest picture of three bars: what a template engine costs when there is nothing to lay out and nothing to say.
BARE = """<svg viewBox="0 0 620 200" role="img"><title>{{ title }}</title>{% for bar in bars %}
<text x="0" y="{{ bar.y }}">{{ bar.label }}</text><rect x="50" y="{{ bar.y }}" width="{{ bar.width }}" height="18"/>
<text x="600" y="{{ bar.y }}">{{ bar.value }}</text>{% endfor %}<path d="M300 20V180"/></svg>"""


def _chart_of(name: str, _small: bool) -> Pair:
    """Laying out and drawing ours, wide, for a phone and as a table, beside a bare template."""
    bare = engines["django"].from_string(BARE)
    bars = [{"y": 40 * n, "label": "U-V", "width": 90.5 * n, "value": 91.6} for n in range(1, 4)]
    return in_turns(
        lambda: render_to_string(f"charts/{name}.html", {"chart": CHARTS[name]()}),
        lambda: bare.render({"title": "Windings", "bars": bars}),
        rounds=200,
    )


for _name in CHARTS:
    row(path=f"a chart with its table: {_name}", reference="a bare SVG template of three bars", goal=1 / 0.06)(
        partial(_chart_of, _name)
    )


@row(path="first start: manage.py check", reference="a bare Django project with the same apps", goal=2)
def first_start(small: bool) -> Pair:
    """Both from compiled modules, as they stand in the image: a round before compiles what isn't yet."""
    ours = {"DJANGO_SETTINGS_MODULE": "portal.settings", "SECRET_KEY": "x" * 60, "DATABASE_URL": "sqlite:///:memory:"}
    bought = [
        app for app in settings.INSTALLED_APPS if app not in ("portal", "jobs", "parts", "diagnostics", "network")
    ]
    with tempfile.TemporaryDirectory(prefix="benchring-bare-") as folder:
        Path(folder, "bare.py").write_text(
            f"SECRET_KEY = 'x' * 60\nINSTALLED_APPS = {bought!r}\nROOT_URLCONF = 'bare_urls'\n"
            "USE_TZ = True\nMIDDLEWARE = ['django.contrib.sessions.middleware.SessionMiddleware',"
            "'django.contrib.auth.middleware.AuthenticationMiddleware',"
            "'django.contrib.messages.middleware.MessageMiddleware',"
            "'allauth.account.middleware.AccountMiddleware']\n"
            "DATABASES = {'default': {'ENGINE': 'django.db.backends.sqlite3', 'NAME': ':memory:'}}\n"
            "DEFAULT_AUTO_FIELD = 'django.db.models.BigAutoField'\n"
            "TEMPLATES = [{'BACKEND': 'django.template.backends.django.DjangoTemplates', 'OPTIONS': {}}]\n"
            "SILENCED_SYSTEM_CHECKS = []\n"
        )
        Path(folder, "bare_urls.py").write_text(
            "from django.urls import include, path\n"
            "from drf_spectacular.views import SpectacularAPIView\n"
            "urlpatterns = [path('account/', include('allauth.urls')), path('schema/', SpectacularAPIView.as_view())]\n"
        )
        bare = {"DJANGO_SETTINGS_MODULE": "bare", "PYTHONPATH": folder}
        compiled = {"PYTHONPYCACHEPREFIX": str(Path(folder, "compiled")), "PYTHONDONTWRITEBYTECODE": ""}
        ours, bare = ours | compiled, bare | compiled
        return in_turns(lambda: _check(ours), lambda: _check(bare), rounds=1 if small else 5)


def _check(environment: dict[str, str]) -> None:
    command = [sys.executable, "-m", "django", "check"]
    subprocess.run(command, cwd=settings.ROOT, env={**os.environ, **environment}, check=True, capture_output=True)
