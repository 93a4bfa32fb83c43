"""What an estimate comes to: each line, the tax of each rate, the total. Plain Python, whole minor units of a currency.

The order and the places of rounding are those of EN 16931-1 (electronic invoices), so that an invoice made from the
same lines finds the same total: a line is rounded by itself (BT-131), the tax is taken once for each rate from the sum
of its rounded lines and rounded by itself (BR-CO-17), and nothing else is rounded (BR-CO-10, 13 to 15). Halves go up,
away from nought.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Protocol

HUNDRED = Decimal(100)


class Priced(Protocol):
    """A line with a price: so many hours or pieces, at so many minor units each, taxed at so many per cent."""

    quantity: Decimal
    price: int
    tax_percent: Decimal


@dataclass(frozen=True, kw_only=True)
class OfRate:
    """The lines of one tax rate together, in minor units."""

    percent: Decimal
    net: int
    tax: int


@dataclass(frozen=True, kw_only=True)
class Sums:
    """Everything in minor units; `lines` in the order in which they came, `by_rate` from the highest rate down."""

    lines: tuple[int, ...]
    by_rate: tuple[OfRate, ...]
    net: int
    tax: int

    @property
    def total(self) -> int:
        return self.net + self.tax


def net_of(*, quantity: Decimal, price: int) -> int:
    """One line without tax.

    Formula: quantity x price, rounded half up (away from nought) to a whole minor unit.
    Parameters:
        quantity [h or pieces], scalar: any finite Decimal.
        price [minor units], scalar: of one hour or one piece; below nought for what is taken off.
    Returns:
        [minor units] the rounded product.
    Valid range: any finite quantity; ``ValueError`` for anything else.
    Example:
        >>> net_of(quantity=Decimal("1.25"), price=9550)
        11938

    Source: EN 16931-1:2017, BT-131 (line net amount, two decimals); half up: as the standard's published rules compute
    it (Schematron of CEN/TC 434, XPath fn:round).
    """
    return _whole(quantity * price)


def sums_of(lines: Iterable[Priced]) -> Sums:
    """Lines, tax by rate, and total.

    Formula: net = sum of rounded lines; tax of a rate = its lines' sum x percent / 100, rounded; total = net + taxes.
    Parameters:
        lines [-], rows with quantity, price [minor units] and tax_percent [%].
    Returns:
        [minor units] Sums.
    Valid range: percent from 0 to 100; anything else raises ``ValueError``.
    Example: three lines at 21 %, of 0.33 each, bear 0.21 together, though 0.07 each: 0.2079 is rounded once.

    Source: EN 16931-1:2017, BR-CO-10, BR-CO-13 to BR-CO-15, BR-CO-17.
    """
    nets: list[int] = []
    rates: dict[Decimal, int] = {}
    for line in lines:
        if not 0 <= line.tax_percent <= 100:
            raise ValueError(f"A tax rate lies between 0 and 100 per cent, but it is {line.tax_percent}.")
        nets.append(net_of(quantity=line.quantity, price=line.price))
        percent = line.tax_percent.normalize()
        rates[percent] = rates.get(percent, 0) + nets[-1]
    by_rate = tuple(
        OfRate(percent=percent, net=net, tax=_whole(net * percent / HUNDRED))
        for percent, net in sorted(rates.items(), reverse=True)
    )
    return Sums(lines=tuple(nets), by_rate=by_rate, net=sum(nets), tax=sum(one.tax for one in by_rate))


def _whole(amount: Decimal) -> int:
    if not amount.is_finite():
        raise ValueError(f"An amount must be finite, but it is {amount}.")
    return int(amount.quantize(Decimal(1), rounding=ROUND_HALF_UP))
