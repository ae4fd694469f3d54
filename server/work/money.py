"""Money in words: amounts of minor units, written by CLDR's rules for the shop's country."""

from decimal import Decimal
from functools import cache

from babel import Locale, UnknownLocaleError
from babel.numbers import format_currency, get_currency_precision

# The code before the amount: '$' is many currencies, and a code is in every font.
_WITH_CODE, _BARE = "¤¤\N{NO-BREAK SPACE}#,##0.00", "#,##0.00"


def places(currency: str) -> int:
    """How many decimals the currency has (ISO 4217): 2 for EUR, 0 for JPY, 3 for KWD."""
    return get_currency_precision(currency)


def to_minor(amount: Decimal, currency: str) -> int:
    """An amount as it is kept. Raises ValueError for more decimals than the currency has."""
    scaled = amount.scaleb(places(currency))
    if scaled != scaled.to_integral_value():
        raise ValueError(f"{currency} has {places(currency)} decimals")
    return int(scaled)


def from_minor(minor: int, currency: str) -> Decimal:
    """An amount as it is typed: 4550 cents are 45.50."""
    return Decimal(minor).scaleb(-places(currency))


def money(minor: int, currency: str, country: str = "", *, code: bool = True) -> str:
    """'EUR 1,234.50', without its code '1,234.50'; signs as they are written in `country`."""
    amount, pattern = from_minor(minor, currency), _WITH_CODE if code else _BARE
    said = format_currency(amount, currency, pattern, locale=_locale(country))
    return f"−{said.removeprefix('-')}" if said.startswith("-") else said


@cache
def _locale(country: str) -> Locale:
    """English as that country writes numbers; plain English where CLDR has none."""
    try:
        return Locale("en", territory=country or None)
    except UnknownLocaleError:
        return Locale("en")
