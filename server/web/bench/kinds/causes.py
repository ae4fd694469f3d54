"""Likely causes of what was found, as the result panel lists them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Causes:
    """What was seen, and its likely causes, likeliest first: each with the next thing to check."""

    title: str
    rows: tuple[tuple[str, str], ...]


def causes_of(result: Mapping[str, Any]) -> tuple[Causes, ...]:
    """The lists of causes in a judgement's result."""
    likely = [Causes(each["title"], _pairs(each["rows"])) for each in result.get("likely", ())]
    if flat := result.get("causes"):
        likely.append(Causes("What it may be", _pairs(flat)))
    return tuple(likely)


def _pairs(rows: Sequence[Mapping[str, str]]) -> tuple[tuple[str, str], ...]:
    return tuple((row["cause"], row["look"]) for row in rows)
