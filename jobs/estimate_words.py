"""An estimate as it is read: rows and sums for the pages, what changed since the version before, and the whole text.

The text is what an owner agrees to. It holds every line, every sum, what changed and the day until which it holds; its
digest goes into the form that the owner sends, so that nobody can agree to another text than the one they saw.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from django.template.loader import render_to_string
from django.utils.formats import get_format

from jobs.estimate_sums import sums_of
from jobs.models import Estimate, PricedLine
from jobs.models.estimates import in_major
from parts.currencies import decimals_of

NARROW = "\u202f"  # between thousands; no line breaks at it


@dataclass(frozen=True, kw_only=True)
class Row:
    line: PricedLine
    price: Decimal
    net: Decimal


@dataclass(frozen=True, kw_only=True)
class Rate:
    percent: Decimal
    net: Decimal
    tax: Decimal


@dataclass(frozen=True, kw_only=True)
class Reckoned:
    """Lines with their sums, in the major unit of the currency."""

    currency: str
    rows: tuple[Row, ...]
    rates: tuple[Rate, ...]
    net: Decimal
    tax: Decimal
    total: Decimal

    @property
    def decimals(self) -> int:
        return decimals_of(self.currency)


@dataclass(frozen=True, kw_only=True)
class Change:
    """A line that is new, was left out, or changed between two versions."""

    before: Row | None
    after: Row | None


def reckoned(lines: Iterable[PricedLine], currency: str) -> Reckoned:
    """The lines as a page shows them."""
    lines = list(lines)
    sums = sums_of(lines)

    def major(minor: int) -> Decimal:
        return in_major(minor, currency)

    nets = zip(lines, sums.lines, strict=True)
    return Reckoned(
        currency=currency,
        rows=tuple(Row(line=line, price=major(line.price), net=major(net)) for line, net in nets),
        rates=tuple(Rate(percent=one.percent, net=major(one.net), tax=major(one.tax)) for one in sums.by_rate),
        net=major(sums.net),
        tax=major(sums.tax),
        total=major(sums.total),
    )


def money_words(amount: Decimal, currency: str) -> str:
    """An amount within a sentence, as the pages write it: 1 208.16 EUR."""
    whole, point, fraction = f"{amount:,.{decimals_of(currency)}f}".partition(".")
    separator = str(get_format("DECIMAL_SEPARATOR")) if point else ""
    return f"{whole.replace(',', NARROW)}{separator}{fraction} {currency}"


def of_estimate(estimate: Estimate) -> Reckoned:
    return reckoned(estimate.lines.all(), estimate.currency)


def version_before(estimate: Estimate) -> Estimate | None:
    """What a version is compared with: the last one that the owner agreed to, else the last one they were sent."""
    earlier = Estimate.objects.filter(job=estimate.job_id, number__lt=estimate.number).shown()
    return earlier.filter(state=Estimate.State.AGREED).last() or earlier.last()


def changes(before: Reckoned, after: Reckoned) -> list[Change]:
    """Line by line, in the order of the new version, then what was left out. The same words are the same line."""
    left = list(before.rows)
    found: list[Change] = []
    for row in after.rows:
        same = next((one for one in left if _same(one) == _same(row)), None)
        if same is None:
            found.append(Change(before=None, after=row))
            continue
        left.remove(same)
        if _priced(same) != _priced(row):
            found.append(Change(before=same, after=row))
    return found + [Change(before=row, after=None) for row in left]


def _same(row: Row) -> tuple[str, str, str]:
    return row.line.kind, row.line.words, row.line.part_number


def _priced(row: Row) -> tuple[Decimal, int, Decimal]:
    return row.line.quantity, row.line.price, row.line.tax_percent


@dataclass(frozen=True, kw_only=True)
class Shown:
    """A version with all that its page and its text say."""

    estimate: Estimate
    sums: Reckoned
    before: Estimate | None
    sums_before: Reckoned | None
    changes: list[Change]


def shown(estimate: Estimate) -> Shown:
    sums, before = of_estimate(estimate), version_before(estimate)
    sums_before = of_estimate(before) if before else None
    return Shown(
        estimate=estimate,
        sums=sums,
        before=before,
        sums_before=sums_before,
        changes=changes(sums_before, sums) if sums_before else [],
    )


def text_of(told: Shown) -> str:
    """The whole estimate as plain text, in the language of the page."""
    estimate = told.estimate
    context = {"told": told, "estimate": estimate, "job": estimate.job, "workshop": estimate.workshop}
    written = render_to_string("jobs/estimate_text.txt", context)
    lines = (" ".join(line.split(" ")).strip() for line in written.splitlines())
    return "\n".join(line for line in lines if line) + "\n"
