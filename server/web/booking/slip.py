"""The claim slip as it fills in at the side of book in."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from server.records.people import ShopRow
from server.trade.bill import bill
from server.trade.choices import BATTERY_LOOKS, CONDITIONS, ITEMS, SYMPTOMS, BatteryLook
from server.web.site import filters
from server.work import phones
from server.work.estimate.estimates import EstimateItem
from server.work.money import money

Pairs = tuple[tuple[str, str], ...]


def slip(answers: Mapping[str, Any], profile: ShopRow) -> Pairs:
    """(label, words) of all that was told; words are empty where nothing was."""
    return (
        ("Customer", answers.get("customer_name", "")),
        ("Telephone", _phone(answers.get("phone", ""), profile.country)),
        ("Craft", answers.get("craft_name", "")),
        ("Trouble", "; ".join(SYMPTOMS[code] for code in answers.get("symptoms", ()))),
        ("Own words", _quoted(answers.get("own_words", ""))),
        ("Handed in", _items(answers)),
        ("Condition", _condition(answers)),
        ("Promise", _promise(answers, profile)),
        ("Estimate", _estimate(answers, profile)),
        ("Agreed", "yes" if answers.get("terms_agreed") else ""),
    )


def _phone(typed: str, country: str) -> str:
    read = phones.read(typed, country)
    shown = phones.shown(read.kept, country)
    return f"{shown} ({read.note[0].lower()}{read.note[1:-1]})" if read.note else shown


def _quoted(words: str) -> str:
    return f"“{words}”" if words else ""


def _items(answers: Mapping[str, Any]) -> str:
    counts = answers.get("items", {})
    said = [f"{counts[item]} × {word}" for item, word in ITEMS.items() if counts.get(item)]
    look = answers.get("battery_look", BatteryLook.NONE)
    return ", ".join(said) + (
        f"; batteries: {BATTERY_LOOKS[look].lower()}" if look != BatteryLook.NONE else ""
    )


def _condition(answers: Mapping[str, Any]) -> str:
    said = [CONDITIONS[code] for code in answers.get("condition", ())]
    return "; ".join(filter(None, (*said, answers.get("condition_words", ""))))


def _promise(answers: Mapping[str, Any], profile: ShopRow) -> str:
    if not answers.get("promised_at"):
        return ""
    clock = filters.Clock(ZoneInfo(profile.zone))
    return clock.when(datetime.fromisoformat(answers["promised_at"]))


def _estimate(answers: Mapping[str, Any], profile: ShopRow) -> str:
    lines = [EstimateItem.model_validate(line) for line in answers.get("lines", ())]
    told = ((ln.says, ln.quantity, ln.unit_minor, ln.kind) for ln in lines)
    total = bill(told, profile.tax_bp, rounding=profile.rounding).total_minor
    return money(total, profile.currency, profile.country) if lines else ""
