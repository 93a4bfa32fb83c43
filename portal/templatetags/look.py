"""Figures as people of the page's language write them, and a few small things that templates can't say."""

import math
from collections.abc import Callable
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from django import template
from django.template.context import RequestContext
from django.utils.formats import get_format
from django.utils.html import conditional_escape
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

register = template.Library()

THIN = "\u202f"  # narrow no-break space: groups of three, and nothing a line could break at
MINUS = "\u2212"


EXPONENTS = tuple(Decimal(1).scaleb(-decimals) for decimals in range(20))


def _written(number: Decimal | int, decimals: int, *, sign: bool = False) -> SafeString:
    """A number with so many decimals, by the page's language: 12 345,6 in French, 12 345.6 in English."""
    if isinstance(number, Decimal):
        if decimals > 15 or number.adjusted() > 17:
            return mark_safe(f"{number:.2e}")  # nobody's reading; it must only not break a page
        # Half goes up, as on paper; a reading of 2.675 is 2.68, whatever a binary fraction makes of it.
        number = number.quantize(EXPONENTS[min(decimals, 19)], rounding=ROUND_HALF_UP)
    text = f"{abs(number):,.{decimals}f}" if decimals else f"{abs(int(number)):,}"
    if decimals or "," in text:
        whole, point, fraction = text.partition(".")
        text = whole.replace(",", THIN) + (get_format("DECIMAL_SEPARATOR") + fraction if point else "")
    if number < 0:
        text = MINUS + text
    elif sign and number > 0:
        text = "+" + text
    return mark_safe(text)  # figures, signs and spaces only


def _number(value: Any) -> Decimal | int | None:
    """The value as an exact number, or None when it is none (a word, nothing, infinity)."""
    if isinstance(value, int):
        return value
    try:
        number = Decimal(str(value))
    except ArithmeticError:
        return None
    return number if number.is_finite() else None


@register.filter
def figure(value: Any, digits: int = 3) -> str:
    """So many significant digits, but never fewer than stand before the point: 0.0315 -> 0.0315, 91.62 -> 91.6."""
    number = _number(value)
    if number is None:
        return _("unlimited") if value in (math.inf, -math.inf) else ("" if value is None else str(value))
    if number == 0:
        return "0"
    exact = Decimal(number)
    return _written(exact, max(0, digits - 1 - exact.adjusted()))


@register.filter
def plain(value: Any) -> str:
    """A limit as it was given, without closing noughts: 5.0 -> 5, 14.80 -> 14.8."""
    number = _number(value)
    if number is None:
        return "" if value is None else str(value)
    if isinstance(number, int):
        return _written(number, 0)
    exponent = number.normalize().as_tuple().exponent
    return _written(number, max(0, -exponent) if isinstance(exponent, int) else 0)


@register.filter
def fixed(value: Any, decimals: int = 0) -> str:
    """So many decimals, thin spaces between thousands."""
    number = _number(value)
    return ("" if value is None else str(value)) if number is None else _written(number, decimals)


@register.filter
def signed(value: Any, decimals: int = 0) -> str:
    """The same with its sign, also when it is positive: a deviation."""
    number = _number(value)
    return ("" if value is None else str(value)) if number is None else _written(number, decimals, sign=True)


@register.filter
def per_hundred(share: Any) -> str:
    """A share from 0 to 1 as so many of a hundred."""
    number = _number(share)
    return "" if number is None else _written(number * 100, 0)


@register.filter
def last_of(values: Any) -> Any:
    """The last of a row of figures; also of an array, which templates can't index from the end."""
    return values[len(values) - 1] if len(values) else None


@register.filter
def item(values: Any, name: Any) -> Any:
    """The value of a mapping under a name that only the template knows."""
    return values.get(name)


@register.filter
def along(percent: float, ends: str) -> float:
    """A place so many percent of the way between two ends ("1 174"), held between them."""
    start, end = (float(part) for part in ends.split())
    return round(start + (end - start) * min(max(float(percent), 0.0), 100.0) / 100, 2)


@register.simple_tag
def axis_figures(drawing: Any) -> SafeString:
    """The figures of both axes. A loop in the template would cost more than all the rest of a chart."""
    written = [
        f'<text class="middle {"strong" if tick.strong else "soft"}" x="{tick.at}" y="{drawing.bottom}" dy="20">'
        f"{fixed(tick.value, tick.decimals)}</text>"
        for tick in drawing.x_ticks
    ]
    written += [
        f'<text class="end soft" x="{drawing.left}" dx="-8" y="{tick.at}" dy=".33em">'
        f"{fixed(tick.value, tick.decimals)}</text>"
        for tick in drawing.y_ticks
    ]
    return mark_safe("".join(written))


@register.simple_tag
def texts(written: Any) -> SafeString:
    """The words and figures of a drawing, each at its place (`diagnostics.charts.scale.Text`)."""
    return mark_safe("".join(_text(one) for one in written))


def _text(one: Any) -> str:
    start = f'<text class="{one.css}" x="{one.x}" y="{one.y}">'
    if one.value is None:
        return f"{start}{conditional_escape(one.words)}</text>"
    figure_words = WRITERS[one.style](one.value, one.digits)
    if not one.unit and not one.before:
        return f"{start}{figure_words}</text>"
    unit = f" {conditional_escape(one.unit)}" if one.unit else ""
    return f'{start}<tspan class="strong">{conditional_escape(one.before)}{figure_words}</tspan>{unit}</text>'


def _as_given(value: Any, _digits: int) -> str:
    return plain(value)


WRITERS: dict[str, Callable[[Any, int], str]] = {
    "fixed": fixed,
    "signed": signed,
    "figure": figure,
    "plain": _as_given,
}


@register.simple_block_tag
def once(content: str) -> SafeString:
    """Words that two drawings of one chart share: `{% once as told %}`, written once and put in twice."""
    return mark_safe(content)  # rendered by the template, which has escaped what it must


@register.simple_tag
def figure_rows(rows: Any, *formats: int | str) -> SafeString:
    """Rows of a chart's table: a name, then figures; a format is so many significant digits, 0 for as given, or a
    style with its decimals ("signed:2")."""
    styles = []
    for wanted in formats:
        style, _colon, digits = str(wanted).rpartition(":")
        styles.append((WRITERS[style or ("figure" if int(digits) else "plain")], int(digits)))
    written = []
    for name, *values in rows:
        head = conditional_escape(name) if isinstance(name, str) else plain(name)
        cells = "".join(
            f'<td class="figures">{write(value, digits)}</td>'
            for value, (write, digits) in zip(values, styles, strict=True)
        )
        written.append(f'<tr><th scope="row">{head}</th>{cells}</tr>')
    return mark_safe("".join(written))


@register.simple_tag
def bound_rows(rows: Any) -> SafeString:
    """Rows of readings that may be bounds ("> 550"), with the ends of their uncertainty."""
    return mark_safe(
        "".join(
            f'<tr><th scope="row">{conditional_escape(label)}</th>'
            f'<td class="figures">{conditional_escape(sign)}{figure(value, digits)}</td>'
            f'<td class="figures">{figure(low, digits)}</td><td class="figures">{figure(high, digits)}</td></tr>'
            for label, sign, value, digits, low, high in rows
        )
    )


@register.simple_tag
def block_rows(chart: Any) -> SafeString:
    """Rows of the table of blocks: number, value, and a word at those that stand out."""
    word = conditional_escape(_("stands out"))
    return mark_safe(
        "".join(
            f'<tr><th scope="row" class="figures">{number}</th><td class="figures">{fixed(value, chart.decimals)}</td>'
            f"<td>{word if weak else ''}</td></tr>"
            for number, value, weak in chart.rows
        )
    )


@register.simple_tag(takes_context=True)
def with_parameter(context: RequestContext, **changes: object) -> str:
    """The address of this page with some of its parameters changed: sorting, filters and pages keep each other."""
    request = context.get("request")
    parameters = request.GET.copy() if request else None
    if parameters is None:
        return "?" + "&".join(f"{name}={value}" for name, value in changes.items())
    for name, value in changes.items():
        parameters.pop(name, None)
        if value not in (None, ""):
            parameters[name] = str(value)
    return f"?{parameters.urlencode()}"
