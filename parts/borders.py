"""Which border of customs lies between two countries, and what an answer costs once it has crossed it.

Inside a customs union goods cross no border of customs: no duty, no import tax (between businesses the tax on sales is
settled in the buyer's own return, so it is no cost and no price on the board holds it). Everywhere else an
administrator's dated rate decides; without one, nothing is guessed and the answer is not compared.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal

from parts import exchange
from parts.landed_cost import Border, LandedCost, exchanged, landed_cost
from parts.models import Answer, BorderRate
from parts.trade_terms import sender_pays_at_border

# Members whose territory is (but for some outlying parts) customs territory of the Union: Regulation (EU) No 952/2013,
# Article 4; Monaco by its paragraph 2 (from memory).
EUROPEAN_UNION = frozenset((
    "AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU", "IE", "IT", "LT", "LU", "LV",
    "MC", "MT", "NL", "PL", "PT", "RO", "SE", "SI", "SK",
))  # fmt: skip
SWITZERLAND = frozenset(("CH", "LI"))  # customs treaty of 29 March 1923 (from memory)
UNIONS = (EUROPEAN_UNION, SWITZERLAND)


class NoBorderRate(Exception):
    """No rate was entered for the way from one country into the other."""

    def __init__(self, from_country: str, into_country: str) -> None:
        self.from_country, self.into_country = from_country, into_country
        super().__init__(f"No rate was entered from {from_country} into {into_country}.")


@dataclass(frozen=True, kw_only=True)
class Landed:
    """The sum as of a day, and the rate at the border that it used (None inside a customs union)."""

    cost: LandedCost
    rate: BorderRate | None
    on: datetime.date
    sender_pays: bool = False

    @property
    def exchange_days_old(self) -> int:
        """How many days old the rate of exchange was, where that is more than days without a rate explain; else 0."""
        used = self.cost.exchange
        days = (self.on - used.on).days if used else 0
        return days if days > exchange.FRESH_DAYS else 0


def one_union(from_country: str, into_country: str) -> bool:
    """The same country, or two of one customs union."""
    return from_country == into_country or any({from_country, into_country} <= union for union in UNIONS)


def rate_between(from_country: str, into_country: str, on: datetime.date) -> BorderRate | None:
    """The rate in force; None where no border of customs is crossed; raises NoBorderRate."""
    if one_union(from_country, into_country):
        return None
    found = BorderRate.objects.between(from_country, into_country, on)
    if found is None:
        raise NoBorderRate(from_country, into_country)
    return found


def landed(answer: Answer, *, into_country: str, currency: str, on: datetime.date) -> Landed:
    """What an answer with a price costs at the asker's door, in their currency; raises NoBorderRate or exchange.NoRate.

    Where the terms of trade have the sender pay at the border, the price holds that already.
    """
    sender_pays = sender_pays_at_border(answer.trade_terms)
    rate = None if sender_pays else rate_between(answer.workshop.country, into_country, on)
    cost = landed_cost(
        goods=answer.price or Decimal(0),
        packing=answer.packing,
        freight=answer.freight,
        insurance=answer.insurance,
        deposit=answer.core_deposit or Decimal(0),
        currency=currency,
        exchange=exchange.exchange_on(on, from_currency=answer.currency, into_currency=currency),
        border=_border(rate, currency, on) if rate else None,
    )
    return Landed(cost=cost, rate=rate, on=on, sender_pays=sender_pays)


def _border(rate: BorderRate, currency: str, on: datetime.date) -> Border:
    """The rate with its amounts in the currency that is paid in."""
    change = exchange.exchange_on(on, from_currency=rate.currency, into_currency=currency)

    def here(amount: Decimal) -> Decimal:
        return exchanged(amount=amount, exchange=change, currency=currency)

    return Border(
        duty_percent=rate.duty_percent,
        tax_percent=rate.tax_percent,
        carriage_in_value=rate.carriage_in_value,
        uplift_percent=rate.uplift_percent,
        fee=here(rate.fee),
        fee_taxed=rate.fee_taxed,
        duty_free_up_to=here(rate.duty_free_up_to),
        tax_reclaimed=rate.tax_reclaimed,
    )
