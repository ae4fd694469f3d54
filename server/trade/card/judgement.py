"""What an answer is worth."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from server.trade.card.text import tie

State = Literal["pass", "fail", "more"]


@dataclass(frozen=True, slots=True)
class Judgement:
    """`says` what was found, `do` what to do about it, `found` the short text of the card's column.

    `more`: what came so far is no fault, and does not yet decide. `result` is what a solver worked
    out, plain JSON values.
    """

    state: State
    says: str
    do: str
    found: str
    result: Mapping[str, Any] = field(default_factory=dict, hash=False)

    @property
    def passed(self) -> bool:
        """Whether the step is done."""
        return self.state == "pass"

    def as_json(self) -> dict[str, Any]:
        """Plain values only."""
        return {
            "state": self.state,
            "says": self.says,
            "do": self.do,
            "found": self.found,
            "result": dict(self.result),
        }


def passed(says: str, found: str, result: Mapping[str, Any] | None = None) -> Judgement:
    """The step is done."""
    return Judgement("pass", tie(says), "", tie(found), result or {})


def failed(says: str, do: str, found: str, result: Mapping[str, Any] | None = None) -> Judgement:
    """The answer is out of limits; it stays in the record, and the step asks again."""
    return Judgement("fail", tie(says), tie(do), tie(found), result or {})


def more(says: str, do: str, found: str, result: Mapping[str, Any] | None = None) -> Judgement:
    """The answer is sound so far and not complete."""
    return Judgement("more", tie(says), tie(do), tie(found), result or {})
