"""The register of rules, and the shape of what a rule finds."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from server.trade.finding import Bars, Severity
from server.trade.rules.advice import Adviser
from server.trade.wiring.wiring import Wiring

PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Hit:
    """One fault as a rule yields it. What is left out is the rule's own, the first of several.

    `do` is what to do about it, or works that out from the plan when somebody asks.
    """

    subject: str
    says: str
    do: str | Adviser
    severity: Severity | None = None
    source: str | None = None
    bars: Bars | None = None


Finder = Callable[[Wiring], Iterator[Hit]]


@dataclass(frozen=True, slots=True)
class Rule:
    """One finding code: the severities it may have, the usual first, and its source.

    `bars` is what it may bar as a stop, the usual first. A caution or a note bars nothing.
    `holds_for` is what a note can be told to be right for, 'board' or 'craft'; else empty.
    """

    code: str
    severities: tuple[Severity, ...]
    source: str
    find: Finder
    bars: tuple[Bars, ...] = (Bars.SIGNING,)
    holds_for: str = ""


RULES: dict[str, Rule] = {}


class Doubled(ValueError):
    """Two rules have one code."""


def rule(
    code: str, *severities: str, source: str = PRACTICE, bars: str = "signing", holds_for: str = ""
) -> Callable[[Finder], Finder]:
    """Register a pure function as the rule of `code`. Raises Doubled for a code already there.

    `bars` are words of Bars for a stop, parted by spaces, the usual first.
    """

    def register(find: Finder) -> Finder:
        if code in RULES:
            raise Doubled(code)
        levels = tuple(Severity(word) for word in severities)
        barred = tuple(Bars(word) for word in bars.split()) if Severity.STOP in levels else ()
        RULES[code] = Rule(code, levels, source, find, barred, holds_for)
        return find

    return register
