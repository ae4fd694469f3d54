"""Symptoms to causes, with the next check that tells them apart best. See docs/fault-finder.md."""

from server.trade.fault_finder.finder import (
    STRENGTH,
    TABLE,
    FinderAdvice,
    Next,
    Ranked,
    advise,
    listed,
    offered,
)
from server.trade.fault_finder.model import OTHER, UNCLEAR, Cause, Check, FaultTable, Symptom

__all__ = [
    "OTHER",
    "STRENGTH",
    "TABLE",
    "UNCLEAR",
    "Cause",
    "Check",
    "FaultTable",
    "FinderAdvice",
    "Next",
    "Ranked",
    "Symptom",
    "advise",
    "listed",
    "offered",
]
