"""What a record found, in one line: for the folded rows of a sheet, the report and the outcome."""

from __future__ import annotations

from typing import Any

from django.utils.formats import number_format
from django.utils.translation import gettext as _

from diagnostics.kinds import kind_of
from diagnostics.models import Record


def found_words(record: Record) -> str:
    """Each finding with its figure, uncertainty and limit; no names, no free text."""
    kind = kind_of(record.kind)
    names = kind.quantities if kind else {}
    return "; ".join(finding_words(one, str(names.get(one["quantity"], one["quantity"]))) for one in record.body["findings"])


def finding_words(finding: dict[str, Any], name: str) -> str:
    """One finding, for instance "Unbalance 1.2 ± 0.4 %, limit 2 %"."""
    if finding["value"] is None:
        return _("%(name)s: no reading") % {"name": name}
    words = f"{name} {figure_words(finding['value'], finding['uncertainty'], finding['unit'], finding['bound'])}"
    if finding["limit"]:
        words += ", " + limit_words(finding["limit"])
    return words


def figure_words(value: float, uncertainty: float | None, unit: str, bound: str | None) -> str:
    """A figure with three to four digits that mean something, its uncertainty to two, and the unit in full."""
    if unit == "ohm" and abs(value) < 1:
        value, uncertainty, unit = 1000 * value, uncertainty and 1000 * uncertainty, "milliohm"
    sign = {"at_least": "> ", "at_most": "< "}.get(bound or "", "")
    spread = f" ± {rounded(uncertainty, 2)}" if uncertainty else ""
    return f"{sign}{rounded(value, 4)}{spread} {unit}".strip()


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


def rounded(value: float, digits: int) -> str:
    """To so many significant digits, in the locale's writing, never with an exponent below a thousand million."""
    if value == 0:
        return "0"
    plain = f"{value:.{digits}g}"
    if "e" in plain:
        exponent = int(plain.partition("e")[2])
        if not -4 <= exponent < 9:
            return plain
        plain = f"{float(plain):.{max(digits - 1 - exponent, 0)}f}"
    whole, _point, places = plain.partition(".")
    del whole
    return number_format(float(plain), decimal_pos=len(places), use_l10n=True, force_grouping=True)
