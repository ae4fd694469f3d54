"""Why this time is suggested, in the counter's words."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import Connection

from server.records import customers
from server.records.people import ShopRow
from server.trade.promise import Like, PromiseAdvice
from server.trade.written import Clock, many, minutes_in_words
from server.work.booking import promise

_LIKE = {
    "both": "the same trouble on the same board",
    "trouble": "the same trouble",
    "all": "any trouble, as too few had this one",
}


def advice(
    connection: Connection, profile: ShopRow, now: datetime, answers: Mapping[str, Any]
) -> PromiseAdvice:
    """The time to promise what was told so far."""
    craft, board = answers.get("craft_id"), ""
    for row in customers.crafts(connection, answers.get("customer_id") or 0):
        if row.id == craft and row.board_model:
            board = f"{row.board_maker} {row.board_model}"
    symptoms = answers.get("symptoms", ())
    return promise.suggested(connection, profile, now, symptoms=symptoms, board=board)


def why(told: PromiseAdvice, profile: ShopRow) -> str:
    """The suggestion with its range and its reasons, in a few sentences."""
    clock = Clock(ZoneInfo(profile.zone))
    if told.like is None:
        past = many(told.history, "finished craft", "finished crafts")
        return (
            f"Suggested: {clock.when(told.at)}, two opening days from now. The shop has too"
            f" little history to say better: {past} to go by, and it takes 9."
        )
    early, late = clock.day(told.early), clock.day(told.late)
    span = f"{early} to {late}" if early != late else early
    return f"Suggested: {clock.when(told.at)}. {_queue(told)} {_took(told.like)} Range: {span}."


def _queue(told: PromiseAdvice) -> str:
    if not told.ahead:
        return "Nothing stands before it."
    wait, benches = minutes_in_words(told.wait), many(told.benches, "bench", "benches")
    return f"{many(told.ahead, 'craft', 'crafts')} before it: about {wait} on {benches}."


def _took(like: Like) -> str:
    low, high = minutes_in_words(like.low), minutes_in_words(like.high)
    return (
        f"Then {low} to {high}, as eight of ten took: {like.count} past crafts with"
        f" {_LIKE[like.by]}."
    )
