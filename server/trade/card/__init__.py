"""The bench card: derived from a sheet, judged by what was recorded, compared when a sheet changes.

A stage is a module with a CHAPTER; a step is one Draft in it (see docs/adding.md).
"""

from server.trade.card.answers import BadAnswer
from server.trade.card.basis import Changes, Reopened, changed, compare, digest
from server.trade.card.bench import FIRST_POWER
from server.trade.card.deriving import derive
from server.trade.card.judge import KINDS, PARTS, gather, judge, same_part
from server.trade.card.judgement import Judgement
from server.trade.card.model import DEFERENCE, Card, Hazard, NoSuchStep, Stage, Step
from server.trade.card.wording import SETTINGS, Setting, Wording

__all__ = [
    "DEFERENCE",
    "FIRST_POWER",
    "KINDS",
    "PARTS",
    "SETTINGS",
    "BadAnswer",
    "Card",
    "Changes",
    "Hazard",
    "Judgement",
    "NoSuchStep",
    "Reopened",
    "Setting",
    "Stage",
    "Step",
    "Wording",
    "changed",
    "compare",
    "derive",
    "digest",
    "gather",
    "judge",
    "same_part",
]
