"""The bench card: derived from a sheet, judged by what was recorded, compared when a sheet changes.

A stage is a module with a CHAPTER; a step is one Draft in it; a kind of result is a module of
`kinds/` (see docs/adding.md).
"""

import server.trade.card.kinds  # noqa: F401  # registers every kind of result
from server.trade.card.answers import BadAnswer
from server.trade.card.basis import Changes, Reopened, changed, compare, digest
from server.trade.card.bench import FIRST_POWER
from server.trade.card.deriving import derive
from server.trade.card.judgement import Judgement
from server.trade.card.kind import KINDS, Blank, Results, UnknownKind, kind_of
from server.trade.card.model import DEFERENCE, Card, Hazard, NoSuchStep, Stage, Step
from server.trade.card.results import NewEntry, blanks, example, judge, merged, read, stored, take
from server.trade.card.wording import SETTINGS, Setting, Wording

__all__ = [
    "DEFERENCE",
    "FIRST_POWER",
    "KINDS",
    "SETTINGS",
    "BadAnswer",
    "Blank",
    "Card",
    "Changes",
    "Hazard",
    "Judgement",
    "NewEntry",
    "NoSuchStep",
    "Reopened",
    "Results",
    "Setting",
    "Stage",
    "Step",
    "UnknownKind",
    "Wording",
    "blanks",
    "changed",
    "compare",
    "derive",
    "digest",
    "example",
    "judge",
    "kind_of",
    "merged",
    "read",
    "stored",
    "take",
]
