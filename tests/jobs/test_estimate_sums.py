"""Sums of an estimate against a published invoice and against exact fractions."""

from __future__ import annotations

import doctest
import math
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from jobs import estimate_sums
from jobs.estimate_sums import net_of, sums_of


@dataclass(frozen=True)
class Line:
    quantity: Decimal
    price: int
    tax_percent: Decimal


# CEN/TC 434, the first example invoice published with the rules of EN 16931-1 (ubl-tc434-example1): pieces, price,
# rate, net of each line as printed there; then net and tax of each rate, and the three totals. In EUR.
PUBLISHED = [
    (2, "9.95", 6, "19.90"), (1, "9.85", 6, "9.85"), (1, "8.29", 6, "8.29"), (2, "7.23", 6, "14.46"),
    (1, "35.00", 6, "35.00"), (1, "35.00", 6, "35.00"), (1, "10.65", 6, "10.65"), (1, "1.55", 6, "1.55"),
    (3, "4.79", 6, "14.37"), (1, "8.29", 6, "8.29"), (2, "8.29", 6, "16.58"), (1, "9.95", 6, "9.95"),
    (2, "1.65", 6, "3.30"), (1, "10.80", 21, "10.80"), (1, "3.90", 6, "3.90"), (2, "3.80", 21, "7.60"),
    (2, "4.67", 21, "9.34"), (1, "18.63", 21, "18.63"), (6, "17.02", 6, "102.12"), (6, "-18.33", 6, "-109.98"),
]  # fmt: skip
OF_RATES = [(21, "46.37", "9.74"), (6, "183.23", "10.99")]
NET, TAX, TOTAL = "229.60", "20.73", "250.33"


def cents(text: str) -> int:
    return int(Decimal(text) * 100)


def test_it_comes_to_the_published_totals() -> None:
    sums = sums_of(Line(Decimal(n), cents(price), Decimal(rate)) for n, price, rate, _net in PUBLISHED)
    assert list(sums.lines) == [cents(net) for *_facts, net in PUBLISHED]
    assert [(one.percent, one.net, one.tax) for one in sums.by_rate] == [
        (rate, cents(net), cents(tax)) for rate, net, tax in OF_RATES
    ]
    assert (sums.net, sums.tax, sums.total) == (cents(NET), cents(TAX), cents(TOTAL))


def rounded(amount: Fraction) -> int:
    """Half away from nought, in exact fractions."""
    return int(math.copysign(1, amount)) * math.floor(abs(amount) + Fraction(1, 2))


lines = st.builds(
    Line,
    st.decimals("0.001", "99999.999", places=3),
    st.integers(-(10**10), 10**10),
    st.sampled_from([Decimal(text) for text in ("0", "2.1", "5.5", "6", "12", "19", "19.00", "21", "100")]),
)


@given(st.lists(lines, max_size=60))
def test_it_agrees_with_exact_fractions(some: list[Line]) -> None:
    nets = [rounded(Fraction(one.quantity) * one.price) for one in some]
    rates = {one.tax_percent: 0 for one in some}  # 19 and 19.00 are one rate
    for one, net in zip(some, nets, strict=True):
        rates[one.tax_percent] += net
    tax = sum(rounded(Fraction(net) * Fraction(rate) / 100) for rate, net in rates.items())
    sums = sums_of(some)
    assert (list(sums.lines), sums.total) == (nets, sum(nets) + tax)


def test_tax_is_rounded_once_for_each_rate() -> None:
    # BR-CO-17: three lines of 0.33 bear 0.21 together (0.2079), where each by itself would bear 0.07 (0.0693).
    assert sums_of([Line(Decimal(1), 33, Decimal(21))] * 3).tax == 21
    assert sums_of([Line(Decimal(1), 12, Decimal(21))] * 4).tax == 10  # 0.1008; each by itself 0.03, in all 0.12


def test_halves_go_up_and_nonsense_is_refused() -> None:
    assert (net_of(quantity=Decimal("0.5"), price=5), net_of(quantity=Decimal("0.5"), price=-5)) == (3, -3)
    with pytest.raises(ValueError, match="between 0 and 100"):
        sums_of([Line(Decimal(1), 1, Decimal(101))])
    with pytest.raises(ValueError, match="finite"):
        net_of(quantity=Decimal("NaN"), price=1)


def test_the_docstrings_are_true() -> None:
    assert doctest.testmod(estimate_sums).failed == 0
