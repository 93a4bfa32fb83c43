"""Currencies that an answer can be priced in, each with the decimals in use."""

# Minor units by ISO 4217, list one (from memory): two decimals unless named otherwise.
DECIMALS = {
    "EUR": 2, "CHF": 2, "GBP": 2, "DKK": 2, "SEK": 2, "NOK": 2, "ISK": 0, "PLN": 2, "CZK": 2, "HUF": 2, "RON": 2,
    "TRY": 2, "UAH": 2, "MAD": 2, "TND": 3, "USD": 2, "CAD": 2, "JPY": 0, "KRW": 0,
}  # fmt: skip


def decimals_of(currency: str) -> int:
    """How many decimals an amount in this currency has; two for one that isn't offered any more."""
    return DECIMALS.get(currency, 2)
