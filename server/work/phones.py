"""Telephone numbers: kept as E.164, shown as the shop's country writes them, found by any spelling.

A number that the library cannot make sense of is kept as it was typed and never refused: numbering
plans change, and somebody stands at the counter.
"""

from dataclasses import dataclass

import phonenumbers
from phonenumbers import NumberParseException, PhoneNumber, PhoneNumberFormat

FEWEST_DIGITS = 4  # of a part of a number that is searched for


@dataclass(frozen=True)
class Phone:
    """A number as it is kept, what the search compares, and what is odd about it, if anything."""

    kept: str
    key: str
    note: str = ""


def read(typed: str, country: str) -> Phone:
    """What to keep of a number typed in a shop of `country` (ISO 3166, two letters)."""
    text = " ".join(typed.split())
    if not text:
        return Phone("", "")
    number = _parsed(text, country)
    if number is None or not phonenumbers.is_valid_number(number):
        return Phone(text, _digits(text), f"Kept as typed: no number of {country} that is known.")
    if number.extension:
        return Phone(text, _digits(text), "Kept as typed, with its extension.")
    kept = phonenumbers.format_number(number, PhoneNumberFormat.E164)
    return Phone(kept, kept.removeprefix("+"))


def shown(kept: str, country: str) -> str:
    """A kept number as people of `country` write it; a foreign one with its country code."""
    number = _parsed(kept, None) if kept.startswith("+") else None
    if number is None or not phonenumbers.is_valid_number(number) or number.extension:
        return kept
    home = phonenumbers.country_code_for_region(country)
    here = number.country_code == home
    style = PhoneNumberFormat.NATIONAL if here else PhoneNumberFormat.INTERNATIONAL
    return phonenumbers.format_number(number, style)


def note(kept: str, country: str) -> str:
    """What is odd about a kept number; empty where nothing is."""
    return read(kept, country).note


def searched(text: str, country: str) -> tuple[str, ...]:
    """The runs of digits that stand for this text in `Phone.key`; none where it is no number.

    A whole number is looked for as E.164 has it; a part as it is, and without the zeros that a
    country puts before its own numbers.
    """
    if any(c.isalpha() for c in text) or len(_digits(text)) < FEWEST_DIGITS:
        return ()
    found = [_digits(text)]
    number = _parsed(text, country)
    if number is not None and phonenumbers.is_possible_number(number):
        found.append(phonenumbers.format_number(number, PhoneNumberFormat.E164).lstrip("+"))
    if len(bare := found[0].lstrip("0")) >= FEWEST_DIGITS - 1:
        found.append(bare)
    return tuple(dict.fromkeys(found))


def _parsed(text: str, country: str | None) -> PhoneNumber | None:
    try:
        return phonenumbers.parse(text, country)
    except NumberParseException:
        return None


def _digits(text: str) -> str:
    return "".join(c for c in text if c in "0123456789")
