"""The filters that a template may use: how things are written, by their names there."""

from collections.abc import Callable
from datetime import tzinfo
from functools import partial
from typing import Any

from server.trade.ticket import STATE_WORDS, State
from server.trade.written import THIN, Clock, grouped, many, plain, span, ticket, unit
from server.work import phones
from server.work.money import money

__all__ = [
    "THIN",
    "Clock",
    "filters",
    "grouped",
    "many",
    "money",
    "plain",
    "span",
    "state_word",
    "ticket",
    "unit",
]


def state_word(state: str) -> str:
    """A ticket's state as people say it."""
    return STATE_WORDS[State(state)]


def filters(zone: tzinfo, country: str = "GB") -> dict[str, Callable[..., Any]]:
    """Every filter a template may use, by the name it has there.

    `money` and `amount` (the same without its code) take minor units and their currency.
    """
    clock = Clock(zone)
    timed = (clock.clock, clock.seconds, clock.day, clock.date, clock.when, clock.iso)
    plainly = (ticket, plain, grouped, unit, span, many, state_word, *timed)
    return {f.__name__: f for f in plainly} | {
        "money": partial(money, country=country),
        "amount": partial(money, country=country, code=False),
        "phone": partial(phones.shown, country=country),
    }
