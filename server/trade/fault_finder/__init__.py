"""Symptoms to causes, with the next check that tells them apart best. See docs/fault-finder.md."""

from server.trade.fault_finder.finder import (
    STRENGTH,
    TABLE,
    Advice,
    Next,
    Ranked,
    advise,
    listed,
    offered,
)
from server.trade.fault_finder.model import OTHER, UNCLEAR, Cause, Check, Symptom, Table

__all__ = [
    "OTHER",
    "STRENGTH",
    "TABLE",
    "UNCLEAR",
    "Advice",
    "Cause",
    "Check",
    "Next",
    "Ranked",
    "Symptom",
    "Table",
    "advise",
    "listed",
    "offered",
]
