"""What a record found, in one line: for the folded rows of a sheet, the report and the outcome."""

from __future__ import annotations

import datetime
import math
from decimal import Decimal
from typing import Any

from django.utils.formats import date_format, get_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from diagnostics.calculations.verdicts import Verdict
from diagnostics.kinds import kind_of
from diagnostics.models import Record

FEW = 4  # figures that a line still tells at a glance
WEIGHT = {Verdict.OUTSIDE: 0, Verdict.UNPROVEN: 1, Verdict.WITHIN: 2}


def found_words(record: Record) -> str:
    """Each finding with its figure, uncertainty and limit; no names, no free text."""
    kind = kind_of(record.kind)
    names = kind.quantities if kind else {}
    return "; ".join(
        finding_words(one, str(names.get(one["quantity"], one["quantity"]))) for one in record.body["findings"]
    )


def found_in_short(record: Record) -> str:
    """The same where it is a few figures; of many, how many there are and the one that decides.

    That is one outside its limit, else one without enough data, else the one with the least margin.
    """
    findings = record.body["findings"]
    if len(findings) <= FEW:
        return found_words(record)
    decides = min(findings, key=lambda one: (WEIGHT.get(one["verdict"], 0), _margin(one)))
    kind = kind_of(record.kind)
    name = str(kind.quantities.get(decides["quantity"], decides["quantity"])) if kind else decides["quantity"]
    facts = {"n": len(findings), "one": finding_words(decides, name)}
    if record.verdict == Verdict.WITHIN:
        return _("%(n)d figures; nearest to its limit: %(one)s") % facts
    return _("%(n)d figures; %(one)s") % facts


def _margin(finding: dict[str, Any]) -> float:
    margin = finding["margin_percent"]
    return math.inf if margin is None else float(margin)


def finding_words(finding: dict[str, Any], name: str) -> str:
    """One finding, for instance "Unbalance 1.2 ± 0.4 %, limit 2 %"."""
    if finding["value"] is None:
        return _("%(name)s: no reading") % {"name": name}
    if finding["unit"] == "signs":
        return _("%(name)s: %(found)s") % {"name": name, "found": signs_words(finding["value"])}
    words = f"{name} {figure_words(finding['value'], finding['uncertainty'], finding['unit'], finding['bound'])}"
    if finding["limit"]:
        words += ", " + limit_words(finding["limit"])
    return words


def signs_words(count: float) -> str:
    """What was looked for, and how much of it was found; its limit, half a sign, says nothing to people."""
    if not count:
        return _("nothing found")
    return ngettext("one sign of trouble", "%(n)d signs of trouble", int(count)) % {"n": int(count)}


def figure_words(value: float, uncertainty: float | None, unit: str, bound: str | None) -> str:
    """A figure with three to four digits that mean something, its uncertainty to two, and the unit in full."""
    if unit == "ohm" and abs(value) < 1:
        value, uncertainty, unit = 1000 * value, uncertainty and 1000 * uncertainty, "milliohm"
    sign = {"at_least": "> ", "at_most": "< "}.get(bound or "", "")
    if not uncertainty:
        return f"{sign}{rounded(value, 4)} {unit}".strip()
    # The uncertainty to two digits, and the value no finer than that.
    places = max(1 - math.floor(math.log10(uncertainty)), 0)
    while places and written(value, places).endswith("0") and written(uncertainty, places).endswith("0"):
        places -= 1
    return f"{sign}{written(value, places)} ± {written(uncertainty, places)} {unit}".strip()


def limit_words(limit: dict[str, Any]) -> str:
    """The limit as a person says it: "limit at least 5 megohm"."""
    unit, value, upper = limit["unit"], limit["value"], limit["upper"]
    if unit == "ohm" and abs(upper or value) < 1:
        unit, value, upper = "milliohm", 1000 * value, upper and 1000 * upper
    value = rounded(value, 4)
    if limit["kind"] == "range":
        return _("limit %(low)s to %(high)s %(unit)s") % {"low": value, "high": rounded(upper, 4), "unit": unit}
    if limit["kind"] == "minimum":
        return _("limit at least %(value)s %(unit)s") % {"value": value, "unit": unit}
    return _("limit at most %(value)s %(unit)s") % {"value": value, "unit": unit}


def check_words(check: dict[str, Any]) -> str:
    """The check of the day that an overdue meter's reading stands on; a shared copy holds no names of it."""
    words = _("checked that day: read %(reading)s, certified %(certified)s") % {
        "reading": figure_words(check["reading"], None, check["unit"], None),
        "certified": figure_words(check["certified_value"], check["certified_uncertainty"], check["unit"], None),
    }
    if "resistor" not in check:
        return words
    named = _("%(resistor)s, no. %(serial)s, %(certificate)s")
    return f"{words} ({named % {name: check[name] for name in ('resistor', 'serial', 'certificate')}})"


def instrument_words(used: dict[str, Any] | None) -> str:
    """The instrument of a record: its name where it is kept, range, accuracy, calibration, check of the day."""
    if not used:
        return _("not named")
    words = _("range %(range)s: %(percent)s %% of reading plus %(counts)s of %(worth)s; %(due)s") % {
        "range": figure_words(used["highest"], None, used["unit"], None),
        "percent": rounded(used["percent_of_reading"], 4),
        "counts": ngettext("%(n)s count", "%(n)s counts", 1 if used["counts"] == 1 else 2)
        % {"n": rounded(used["counts"], 4)},
        "worth": figure_words(used["resolution"], None, used["unit"], None),
        "due": _("calibration due %(day)s") % {"day": date_format(datetime.date.fromisoformat(used["calibration_due"]))}
        if used["calibration_due"]
        else _("no calibration date"),
    }
    if "name" in used:  # a shared copy holds neither name nor serial number
        words = _("%(name)s, serial %(serial)s, ") % {"name": used["name"], "serial": used["serial"]} + words
    return f"{words}; {check_words(used['check'])}" if used.get("check") else words


def rounded(value: float, digits: int) -> str:
    """To so many significant digits, without an exponent between a ten-thousandth and a thousand million."""
    if value == 0:
        return "0"
    exponent = math.floor(math.log10(abs(value)))
    if not -5 < exponent < 9:
        return f"{value:.{digits}g}"
    text = written(value, max(digits - 1 - exponent, 0))
    point = get_format("DECIMAL_SEPARATOR")
    return text.rstrip("0").rstrip(point) if point in text else text


def written(value: float | Decimal, places: int) -> str:
    """With so many decimals, thin spaces between thousands, the locale's decimal sign."""
    whole, _point, fraction = f"{abs(value):,.{min(places, 9)}f}".partition(".")
    text = whole.replace(",", "\u202f") + (get_format("DECIMAL_SEPARATOR") + fraction if fraction else "")
    return f"\u2212{text}" if value < 0 else text
