"""What a part costs once it stands in one's own workshop, line by line. Plain Python, decimal figures only.

Each line is rounded by itself, half up, to the minor unit of the currency that is paid in; the sum is the sum of the
rounded lines, so that whoever adds up the page finds the same figure.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from parts.currencies import decimals_of

NOUGHT = Decimal(0)
HUNDRED = Decimal(100)


@dataclass(frozen=True, kw_only=True)
class Exchange:
    """A rate as it is published: `from_units` of one currency are worth `into_units` of the other, on a day."""

    from_currency: str
    into_currency: str
    from_units: Decimal
    into_units: Decimal
    on: datetime.date
    source: str

    def __post_init__(self) -> None:
        _whole_amounts(from_units=self.from_units, into_units=self.into_units)
        if not (self.from_units and self.into_units):
            raise ValueError(f"A rate of exchange is above zero, but it is {self.from_units} to {self.into_units}.")


@dataclass(frozen=True, kw_only=True)
class Border:
    """What crossing a border costs: rates [%], amounts in the currency that is paid in, and what each is taken of.

    `carriage_in_value`: packing, freight to the border and insurance belong to the customs value (as in the European
    Union and the United Kingdom), or don't (Australia, South Africa). `uplift_percent` is added to the customs value
    for the base of the tax (South Africa). `duty_free_up_to`: goods worth no more than this bear no duty.
    `tax_reclaimed`: a registered workshop gets the import tax back, so it is paid but is no cost.
    """

    duty_percent: Decimal
    tax_percent: Decimal
    carriage_in_value: bool = True
    uplift_percent: Decimal = NOUGHT
    fee: Decimal = NOUGHT
    fee_taxed: bool = False
    duty_free_up_to: Decimal = NOUGHT
    tax_reclaimed: bool = False

    def __post_init__(self) -> None:
        _whole_amounts(
            duty_percent=self.duty_percent, tax_percent=self.tax_percent, uplift_percent=self.uplift_percent,
            fee=self.fee, duty_free_up_to=self.duty_free_up_to,
        )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of the sum: `amount` in the currency that is paid in, `percent` of `base` where it is a rate."""

    code: str  # goods | packing | freight | freight_inland | insurance | duty | import_tax | fee
    amount: Decimal
    percent: Decimal | None = None
    base: Decimal | None = None


@dataclass(frozen=True, kw_only=True)
class LandedCost:
    """The sum with its lines; the deposit, and a tax that is given back, stand apart from `total`."""

    currency: str
    lines: tuple[Line, ...]
    total: Decimal
    customs_value: Decimal | None
    tax_base: Decimal | None
    deposit: Decimal
    reclaimed: Decimal
    exchange: Exchange | None
    border: Border | None

    @property
    def decimals(self) -> int:
        """Of the currency that is paid in."""
        return decimals_of(self.currency)

    def amount(self, code: str) -> Decimal:
        """The amount of one line; nought where the sum has no such line."""
        return sum((line.amount for line in self.lines if line.code == code), NOUGHT)

    @property
    def carriage(self) -> Decimal:
        """Packing, freight and insurance."""
        return sum((self.amount(code) for code in ("packing", "freight", "freight_inland", "insurance")), NOUGHT)

    @property
    def at_the_border(self) -> Decimal:
        """Duty, fees, and the import tax where it stays a cost."""
        return self.total - self.amount("goods") - self.carriage

    @property
    def paid_out(self) -> Decimal:
        """All the money that leaves at first: the total, the deposit, and a tax that comes back later."""
        return self.total + self.deposit + self.reclaimed


def in_minor_units(*, amount: Decimal, currency: str) -> Decimal:
    """The amount in the minor unit of its currency.

    Formula: rounded half up (away from zero) to the decimals of ISO 4217: 2 for the euro, 0 for the yen.
    Parameters:
        amount [currency], scalar: any amount.
        currency [-], text: its code by ISO 4217.
    Returns:
        [currency] the rounded amount.
    Valid range: any finite amount; ``ValueError`` for anything else.
    Example:
        >>> in_minor_units(amount=Decimal("2.675"), currency="EUR")
        Decimal('2.68')
        >>> in_minor_units(amount=Decimal("2.5"), currency="JPY")
        Decimal('3')

    Source: ISO 4217, list one (minor units); rounding half up per line: common practice, no source.
    """
    if not isinstance(amount, Decimal) or not amount.is_finite():
        raise ValueError(f"The argument amount must be a finite Decimal, but it is {amount!r}.")
    return amount.quantize(Decimal(1).scaleb(-decimals_of(currency)), rounding=ROUND_HALF_UP)


def exchanged(*, amount: Decimal, exchange: Exchange | None, currency: str) -> Decimal:
    """The amount in `currency`, rounded to its minor unit; without an exchange it was in that currency already.

    Formula: amount x into_units / from_units.
    Parameters:
        amount [from_currency], scalar: not below zero.
        exchange [-], Exchange or None: the rate of a day.
        currency [-], text: the currency of the result.
    Returns:
        [currency] the rounded amount.
    Valid range: an exchange that doesn't lead into `currency` is a ``ValueError``.
    Example:
        >>> day = datetime.date(2026, 10, 30)
        >>> rate = Exchange(from_currency="USD", into_currency="AUD", from_units=Decimal("0.91"),
        ...                 into_units=Decimal(1), on=day, source="example")
        >>> exchanged(amount=Decimal(1274), exchange=rate, currency="AUD")
        Decimal('1400.00')

    Source: arithmetic.
    """
    if exchange is not None:
        if exchange.into_currency != currency:
            raise ValueError(f"The exchange leads into {exchange.into_currency}, but the sum is in {currency}.")
        amount = amount * exchange.into_units / exchange.from_units
    return in_minor_units(amount=amount, currency=currency)


def landed_cost(
    *,
    goods: Decimal,
    currency: str,
    packing: Decimal = NOUGHT,
    freight: Decimal = NOUGHT,
    insurance: Decimal = NOUGHT,
    freight_inland: Decimal = NOUGHT,
    deposit: Decimal = NOUGHT,
    exchange: Exchange | None = None,
    border: Border | None = None,
) -> LandedCost:
    """What the part costs at its destination, in the currency that is paid in.

    Formula: customs value = goods (+ packing + freight + insurance, where carriage belongs to it);
    duty = customs value x rate; base of the tax = customs value x (1 + uplift) + carriage not yet in it + inland
    freight + duty (+ fee, where taxed); import tax = base x rate; total = goods + carriage + duty + fee + import tax.
    Where there is an uplift, it stands for the carriage, which is then not added to the base a second time.

    Parameters:
        goods [price currency], scalar: all pieces together.
        currency [-], text: the currency that is paid in (ISO 4217).
        packing [price currency], scalar: packing.
        freight [price currency], scalar: carriage to the border, or the whole of it where it isn't divided.
        insurance [price currency], scalar: insurance of the carriage.
        freight_inland [price currency], scalar: carriage behind the border, where it is known apart.
        deposit [price currency], scalar: for the core, given back with it; apart from the total and the value.
        exchange [-], Exchange or None: from the price currency into `currency`; None where they are the same.
        border [-], Border or None: None where no border of customs is crossed.
    Returns:
        [currency] LandedCost, each line rounded half up by itself.
    Valid range: amounts are finite Decimals from 0; anything else raises ``ValueError``.
    Example:
        >>> border = Border(duty_percent=Decimal(5), tax_percent=Decimal(10), carriage_in_value=False)
        >>> landed = landed_cost(goods=Decimal(1400), freight=Decimal(130), currency="AUD", border=border)
        >>> landed.amount("duty"), landed.tax_base, landed.amount("import_tax"), landed.total
        (Decimal('70.00'), Decimal('1600.00'), Decimal('160.00'), Decimal('1760.00'))

    Source: order of the sum: gov.uk, "Working out the VAT value" (VATA 1994 s. 21); A New Tax System (Goods and
    Services Tax) Act 1999 (Australia) s. 13-20; South African Revenue Service, value-added tax on imports.
    """
    given = {"goods": goods, "packing": packing, "freight": freight, "insurance": insurance,
             "freight_inland": freight_inland}  # fmt: skip
    _whole_amounts(**given, deposit=deposit)
    here = {code: exchanged(amount=amount, exchange=exchange, currency=currency) for code, amount in given.items()}
    lines = [Line(code=code, amount=amount) for code, amount in here.items() if amount or code in ("goods", "freight")]
    crossing = _at_border(here, border, currency) if border else _NO_BORDER
    kept = [line for line in crossing.lines if not (border and border.tax_reclaimed and line.code == "import_tax")]
    return LandedCost(
        currency=currency,
        lines=(*lines, *crossing.lines),
        total=sum((line.amount for line in (*lines, *kept)), NOUGHT),
        customs_value=crossing.customs_value,
        tax_base=crossing.tax_base,
        deposit=exchanged(amount=deposit, exchange=exchange, currency=currency),
        reclaimed=sum((line.amount for line in crossing.lines if line not in kept), NOUGHT),
        exchange=exchange,
        border=border,
    )


@dataclass(frozen=True, kw_only=True)
class _Crossing:
    lines: tuple[Line, ...]
    customs_value: Decimal | None
    tax_base: Decimal | None


_NO_BORDER = _Crossing(lines=(), customs_value=None, tax_base=None)


def _at_border(here: dict[str, Decimal], border: Border, currency: str) -> _Crossing:
    """Duty, fee and import tax on amounts that are in the currency that is paid in already."""
    carriage = here["packing"] + here["freight"] + here["insurance"]
    value = here["goods"] + (carriage if border.carriage_in_value else NOUGHT)
    duty_percent = NOUGHT if here["goods"] <= border.duty_free_up_to else border.duty_percent
    duty = in_minor_units(amount=value * duty_percent / HUNDRED, currency=currency)
    fee = in_minor_units(amount=border.fee, currency=currency)
    base = value * (1 + border.uplift_percent / HUNDRED) + duty + (fee if border.fee_taxed else NOUGHT)
    if not border.uplift_percent:
        base += here["freight_inland"] + (NOUGHT if border.carriage_in_value else carriage)
    base = in_minor_units(amount=base, currency=currency)
    tax = in_minor_units(amount=base * border.tax_percent / HUNDRED, currency=currency)
    return _Crossing(
        lines=(
            Line(code="duty", amount=duty, percent=duty_percent, base=value),
            *([Line(code="fee", amount=fee)] if fee else []),
            Line(code="import_tax", amount=tax, percent=border.tax_percent, base=base),
        ),
        customs_value=value,
        tax_base=base,
    )


def _whole_amounts(**amounts: Decimal) -> None:
    for name, amount in amounts.items():
        if not isinstance(amount, Decimal) or not amount.is_finite() or amount < 0:
            raise ValueError(f"The argument {name} must be a finite Decimal from 0, but it is {amount!r}.")
