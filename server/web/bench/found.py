"""What a result is drawn from: the parts that the results of several kinds have in common."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from server.trade.card import Judgement


@dataclass(frozen=True, kw_only=True)
class Result:
    """What is recorded at a step and what it is worth; each kind adds what its template draws."""

    worth: Judgement


@dataclass(frozen=True)
class Grid:
    """A table of texts."""

    heads: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()


NO_GRID = Grid()


@dataclass(frozen=True)
class Causes:
    """What was seen, and its likely causes, likeliest first: each with the next thing to check."""

    title: str
    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class FoldedTable:
    """A table with a title, in a fold."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Shown:
    """What stands before the answer: words, a drawing, how to read it, and the same as tables."""

    says: str = ""
    drawing: str = ""
    note: str = ""
    tables: tuple[FoldedTable, ...] = ()


def causes_of(result: Mapping[str, Any]) -> tuple[Causes, ...]:
    """The lists of causes in a judgement's result."""
    likely = [Causes(each["title"], _pairs(each["rows"])) for each in result.get("likely", ())]
    if flat := result.get("causes"):
        likely.append(Causes("What it may be", _pairs(flat)))
    return tuple(likely)


def _pairs(rows: Sequence[Mapping[str, str]]) -> tuple[tuple[str, str], ...]:
    return tuple((row["cause"], row["look"]) for row in rows)
