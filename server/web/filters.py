"""The filters that a template may use: how things are written, by their names there."""

from collections.abc import Callable
from datetime import tzinfo
from typing import Any

from server.trade.written import THIN, Clock, grouped, many, money, plain, span, ticket, unit

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

STATES = {"bench": "on the bench", "to-sign": "to sign", "returned": "returned as is"}


def state_word(state: str) -> str:
    """A ticket's state as people say it."""
    return STATES.get(state, state)


def filters(zone: tzinfo) -> dict[str, Callable[..., Any]]:
    """Every filter a template may use, by the name it has there."""
    clock = Clock(zone)
    timed = (clock.clock, clock.seconds, clock.day, clock.date, clock.when, clock.iso)
    return {
        f.__name__: f for f in (ticket, plain, grouped, unit, span, money, many, state_word, *timed)
    }
