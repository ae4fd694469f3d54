"""Money in words: decimals by ISO 4217, signs by CLDR, for the shop's country."""

from decimal import Decimal

import pytest
from babel import Locale
from babel.numbers import get_group_symbol

from server.work.money import from_minor, money, places, to_minor


@pytest.mark.parametrize(
    # ISO 4217, 'minor unit': 2, 0 and 3.
    ("currency", "decimals"),
    [("EUR", 2), ("USD", 2), ("NOK", 2), ("JPY", 0), ("KWD", 3)],
)
def test_a_currency_has_its_own_decimals(currency, decimals):
    assert places(currency) == decimals
    assert to_minor(Decimal(7), currency) == 7 * 10**decimals
    assert from_minor(7, currency) == Decimal(7).scaleb(-decimals)


@pytest.mark.parametrize(
    # CLDR's number symbols, typed from its charts from memory: comma and point change places in
    # Germany, Norway parts thousands by a no-break space. Switzerland has a test of its own below.
    ("country", "said"),
    [
        ("GB", "1,234.50"),
        ("US", "1,234.50"),
        ("DE", "1.234,50"),
        ("NO", "1\u00a0234,50"),
        ("", "1,234.50"),
        ("XX", "1,234.50"),
    ],
)
def test_an_amount_is_written_as_the_country_does(country, said):
    assert money(123450, "EUR", country, code=False) == said
    assert money(123450, "EUR", country) == f"EUR\u00a0{said}"


def test_swiss_thousands_are_parted_as_the_installed_data_say():
    # An apostrophe in every release of CLDR, typed or typographic by which one is installed.
    sign = get_group_symbol(Locale("en", territory="CH"))
    assert sign in ("'", "\N{RIGHT SINGLE QUOTATION MARK}")
    assert money(123450, "EUR", "CH", code=False) == f"1{sign}234.50"


def test_less_than_nothing_has_a_minus():
    assert money(-1000, "EUR", "GB", code=False) == "−10.00"
    assert money(-1000, "JPY", "GB", code=False) == "−1,000"


def test_more_decimals_than_the_currency_has_are_refused():
    with pytest.raises(ValueError, match="JPY has 0 decimals"):
        to_minor(Decimal("1.5"), "JPY")
