"""How long a traction battery will do: from everything that was found of it over the years, as a range in plain words.

Findings come from our own records and from what was typed in from before. Two laws of fade (with age, and with its
square root) give a range; with three findings or more, their 95 % intervals are told beside it. Kilometres follow from
how far the car was driven so far. What is no figure of this battery (a bound, a clamp that nobody zeroed, a log with
holes, a meter out of date) is listed with its reason and doesn't count.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from diagnostics.calculations.battery import CapacityFinding, FadeOutlook, fade_outlook
from diagnostics.calculations.battery.capacity import HYBRID_LIMIT
from diagnostics.calculations.verdicts import Limit, choose_limit
from diagnostics.kinds import all_kinds
from diagnostics.limits import limits_that_bind
from diagnostics.models import Battery, EarlierCapacity, Record, Sheet, SystemFamily
from diagnostics.summary import rounded
from diagnostics.wording import authority_words, reason_words

KIND = "battery_capacity"
DAYS_PER_YEAR = 365.25  # Julian year
# Why a figure doesn't tell what this battery holds. (Who stood by, for instance, doesn't change a figure.)
SPOILS = {"missing_clamp_zero", "log_has_gaps", "overdue_instrument", "missing_calibration_date", "wrong_state"}
FARTHEST_YEARS = 20.0  # beyond it a car has other troubles: said as "20+"
YOUNGEST_YEARS = 0.25  # an outlook from a battery a few weeks old would be noise


@dataclass(frozen=True, kw_only=True)
class Found:
    """One capacity, and why it doesn't count where it doesn't."""

    on: datetime.date
    percent: float
    uncertainty: float | None
    method: str
    words: str
    km: int | None = None
    url: str = ""
    why_not: str = ""
    earlier: EarlierCapacity | None = None

    @property
    def figure(self) -> str:
        """In percent, for a person: "52 ± 3 %"."""
        if self.uncertainty:
            return f"{rounded(self.percent, 3)} ± {rounded(self.uncertainty, 2)} %"
        return f"{rounded(self.percent, 3)} %"


@dataclass(frozen=True, kw_only=True)
class Outlook:
    """What is known, the range until the limit, and the chart. Years and kilometres count from the day it is asked."""

    battery: Battery | None
    limit: Limit | None
    found: tuple[Found, ...]
    asked_on: datetime.date
    laws: FadeOutlook | None = None
    years: tuple[float, float] | None = None  # from today until the limit, by the two laws; may be infinite
    interval: tuple[float, float] | None = None  # the outer ends of both 95 % intervals, with three findings or more
    km_per_year: float | None = None
    chart: Any = None

    @property
    def counted(self) -> tuple[Found, ...]:
        return tuple(one for one in self.found if not one.why_not)

    @property
    def newest(self) -> Found | None:
        return self.counted[-1] if self.counted else None

    @property
    def km(self) -> tuple[float, float] | None:
        """Kilometres to the limit, when it is driven as until now."""
        if self.years is None or not self.km_per_year:
            return None
        return self.years[0] * self.km_per_year, self.years[1] * self.km_per_year

    @property
    def at_limit(self) -> bool:
        return bool(self.newest and self.limit and self.newest.percent <= self.limit.value)

    @property
    def limit_words(self) -> str:
        """The limit with its mark: "40 % (common practice, no source)"."""
        if self.limit is None:
            return ""
        mark = self.limit.source
        if self.limit.authority not in mark:
            mark = f"{authority_words(self.limit.authority)}: {mark}"
        return f"{rounded(self.limit.value, 3)} % ({mark})"

    @property
    def sentence(self) -> str:
        """The answer for an owner, in one or two sentences."""
        newest, limit = self.newest, self.limit
        if newest is None:
            return _("Nobody has found the capacity of this battery yet.")
        holds = _("The battery holds %(percent)s of what it held when new, found on %(day)s.") % {
            "percent": f"{rounded(newest.percent, 2)} %",
            "day": _day(newest.on),
        }
        if limit is None:
            return f"{holds} {_('No limit is known for this system, so no time can be told.')}"
        at = f"{rounded(limit.value, 3)} %"
        if self.at_limit:
            return f"{holds} {_('It is at or below %(limit)s: it will be a nuisance from now on.') % {'limit': at}}"
        if self.laws is None or self.years is None:
            ask = _("Since when it is in use isn’t known, or it is nearly new: no time can be told yet.")
            return f"{holds} {ask}"
        low, high = self.years
        if math.isinf(low):
            return f"{holds} {_('No fade is seen so far: no time can be told.')}"
        return f"{holds} {_until(at, low, high, self.km)}"

    @property
    def interval_words(self) -> str:
        """The 95 % interval in years and kilometres: "1.5 to 12 years, 22 000 to 180 000 km"."""
        if self.interval is None:
            return ""
        low, high = self.interval
        words = _("%(low)s to %(high)s years") % {
            "low": years_words(low, up=False),
            "high": years_words(high, up=True),
        }
        if not self.km_per_year:
            return words
        far = {"low": km_words(low * self.km_per_year, up=False), "high": km_words(high * self.km_per_year, up=True)}
        if high > FARTHEST_YEARS:
            far["high"] = km_words(FARTHEST_YEARS * self.km_per_year, up=False) + "+"
        return words + ", " + _("%(low)s to %(high)s km") % far

    @property
    def why_so_wide(self) -> str:
        """How the range came about, for whoever asks."""
        if self.years is None:
            return ""
        number = len(self.counted)
        words = ngettext("From one finding", "From %(n)d findings", number) % {"n": number}
        if self.laws and self.laws.linear_low is not None:
            return _("%(from)s: the range lies between two laws of fade; their 95 %% interval stands below.") % {
                "from": words
            }
        return _("%(from)s: the range lies between two laws of fade. Three or more would give an interval.") % {
            "from": words
        }


def _day(day: datetime.date) -> str:
    from django.utils.formats import date_format

    return date_format(day, "DATE_FORMAT")


def _until(at: str, low: float, high: float, km: tuple[float, float] | None) -> str:
    """The range as an owner says it."""
    facts = {"limit": at, "low": years_words(low, up=False), "high": years_words(high, up=True)}
    if high < 0.05:
        return _("It is likely to have come down to %(limit)s by now: have it measured again.") % facts
    if high > FARTHEST_YEARS:
        text = _("It is likely to come down to %(limit)s in %(low)s years at the earliest, or much later.")
    elif low < 0.05:
        text = _("It may come down to %(limit)s at any time now, or last up to %(high)s more years.")
    else:
        text = _("It is likely to come down to %(limit)s in %(low)s to %(high)s years.")
    words = text % facts
    if km is None:
        return words
    far = {"low": km_words(km[0], up=False), "high": km_words(km[1], up=True)}
    if high > FARTHEST_YEARS:
        return words + " " + _("Driven as until now, that is %(low)s km at least.") % far
    if low < 0.05:
        return words + " " + _("Driven as until now, that is up to %(high)s km.") % far
    return words + " " + _("Driven as until now, that is %(low)s to %(high)s km.") % far


def years_words(years: float, *, up: bool) -> str:
    """Years, outwards to half years below five, else to whole ones: no more than the range means."""
    if years > FARTHEST_YEARS:
        return f"{FARTHEST_YEARS:g}+"
    step = 0.5 if years < 5 else 1.0
    return rounded((math.ceil if up else math.floor)(round(years / step, 6)) * step, 2)


def km_words(km: float, *, up: bool) -> str:
    """Kilometres, outwards to thousands, from fifty thousand up to five thousands."""
    step = 1000 if km < 50_000 else 5000
    return f"{(math.ceil if up else math.floor)(km / step) * step:,}".replace(",", "\u202f")


def outlook(
    *,
    sheets: Mapping[int, int | None],
    battery: Battery | None,
    family: SystemFamily | None,
    asked_on: datetime.date | None = None,
) -> Outlook:
    """Join what was found. `sheets`: the key of each sheet of this battery, with the odometer on that day."""
    today = asked_on or timezone.localdate()
    found = tuple(sorted(_all_found(sheets, battery), key=lambda one: one.on))
    limit = limit_for(family)
    known = Outlook(battery=battery, limit=limit, found=found, asked_on=today)
    started = battery.in_use_since if battery else None
    newest = known.newest
    if newest is None or started is None or limit is None:
        return known
    ages = [(one.on - started).days / DAYS_PER_YEAR for one in known.counted]
    chart_of = _Chart(known.counted, ages, limit.value)
    if ages[-1] < YOUNGEST_YEARS or not limit.value < 100:
        return _with(known, chart=chart_of(None))
    history = [
        CapacityFinding(age_years=age, capacity_percent=one.percent)
        for age, one in zip(ages, known.counted, strict=True)
    ]
    laws = fade_outlook(history=history, limit_percent=limit.value)
    since = (today - newest.on).days / DAYS_PER_YEAR
    by_law = (laws.linear_years, laws.square_root_years)
    ends = [end for end in _ends(laws) if end is not None]
    return _with(
        known,
        laws=laws,
        years=(max(0.0, min(by_law) - since), max(0.0, max(by_law) - since)),
        interval=(max(0.0, min(ends) - since), max(0.0, max(ends) - since)) if laws.linear_low is not None else None,
        km_per_year=km_per_year(known.counted, battery),
        chart=chart_of(laws),
    )


def _ends(laws: FadeOutlook) -> tuple[float | None, ...]:
    return (
        laws.linear_years, laws.linear_low, laws.linear_high,
        laws.square_root_years, laws.square_root_low, laws.square_root_high,
    )  # fmt: skip


def _with(known: Outlook, **more: Any) -> Outlook:
    return Outlook(**(vars(known) | more))


@dataclass(frozen=True)
class _Chart:
    """The chart of what counts, with the range once there is one."""

    counted: tuple[Found, ...]
    ages: list[float]
    limit: float

    def __call__(self, laws: FadeOutlook | None) -> Any:
        from diagnostics.charts import fade  # loaded where one is drawn

        newest = self.ages[-1]
        ends = [newest + end for end in _ends(laws) if end is not None] if laws else []
        return fade.build(
            key="battery-outlook",
            title=_("Capacity over the years, and the range until the limit"),
            history=[
                fade.Finding(age_years=age, capacity_percent=one.percent, uncertainty_percent=one.uncertainty or 0.0)
                for age, one in zip(self.ages, self.counted, strict=True)
            ],
            limit_percent=self.limit,
            linear_age=newest + laws.linear_years if laws else None,
            square_root_age=newest + laws.square_root_years if laws else None,
            interval=(min(ends), max(ends)) if laws and laws.linear_low is not None else None,
        )


def limit_for(family: SystemFamily | None) -> Limit | None:
    """The maker's limit for what is left, else the setting for hybrids or electric cars, with its mark."""
    if family is None:
        return None
    bound = limits_that_bind(all_kinds()[KIND], family).get("state_of_health", ())
    given = [one for one in bound if one != HYBRID_LIMIT]  # that one is the setting itself
    percent, mark = settings.BATTERY_OUTLOOK_LIMITS[family.drive]
    common = Limit(kind="minimum", value=percent, unit="%", source=mark, authority="common practice")
    return choose_limit(limits=given or [common])


def km_per_year(counted: tuple[Found, ...], battery: Battery | None) -> float | None:
    """How far it was driven a year: from when it was new to the newest finding with an odometer."""
    read = [one for one in counted if one.km is not None]
    if not read or battery is None or battery.in_use_since is None:
        return None
    years = (read[-1].on - battery.in_use_since).days / DAYS_PER_YEAR
    driven = (read[-1].km or 0) - battery.km_when_new
    return driven / years if years >= YOUNGEST_YEARS and driven > 0 else None


def _all_found(sheets: Mapping[int, int | None], battery: Battery | None) -> Iterable[Found]:
    """What our records and earlier papers say; what is older than the battery is another battery's."""
    started = battery.in_use_since if battery else None
    for record in Record.objects.filter(sheet__in=sheets, kind=KIND).standing().select_related("sheet"):
        found = _from_record(record, sheets[record.sheet_id])
        if found and (started is None or found.on >= started):
            yield found
    for row in EarlierCapacity.objects.filter(battery=battery, taken_out=False) if battery else ():
        if started is None or row.found_on >= started:
            yield Found(
                on=row.found_on,
                percent=row.capacity_percent,
                uncertainty=None,
                method=row.get_method_display(),
                words=row.words,
                km=row.odometer_km,
                earlier=row,
            )


def _from_record(record: Record, km: int | None) -> Found | None:
    finding = record.body["findings"][0]
    if finding["value"] is None:
        return None
    why = next((reason for reason in (*finding["concerns"], *record.body["concerns"]) if reason in SPOILS), "")
    words = reason_words(why) if why else ""
    if finding["bound"]:
        words = _("The discharge didn’t reach its cut-off: the battery holds at least this.")
    method = EarlierCapacity.Method(finding["quantity"].removeprefix("capacity_"))
    return Found(
        on=timezone.localdate(record.taken_at),
        percent=finding["value"],
        uncertainty=finding["uncertainty"],
        method=str(method.label),
        words=_("our record %(n)d") % {"n": record.sequence},
        km=km,
        url=reverse("record", args=[record.pk]),
        why_not=words,
    )


def sheets_of_serial(serial: str) -> dict[int, int | None]:
    """The sheets of a part on the bench, which knows of no odometer."""
    return dict.fromkeys(Sheet.objects.filter(part_serial=serial).values_list("pk", flat=True)) if serial else {}


def outlook_of_serial(sheet: Sheet) -> Outlook:
    """The outlook of a battery on the bench, from all our sheets with its serial number."""
    battery = Battery.objects.filter(serial=sheet.part_serial).first()
    return outlook(sheets=sheets_of_serial(sheet.part_serial), battery=battery, family=sheet.family)
