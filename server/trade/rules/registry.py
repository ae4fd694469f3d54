"""The register of rules, and the shape of what a rule finds."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from server.trade.finding import Severity
from server.trade.wiring.wiring import Wiring

PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Hit:
    """One fault as a rule yields it. Severity and source are the rule's own where left out."""

    subject: str
    says: str
    do: str
    severity: Severity | None = None
    source: str | None = None


Finder = Callable[[Wiring], Iterator[Hit]]


@dataclass(frozen=True, slots=True)
class Rule:
    """One finding code: the severities it may have, the usual first, and its source."""

    code: str
    severities: tuple[Severity, ...]
    source: str
    find: Finder


RULES: dict[str, Rule] = {}


class Doubled(ValueError):
    """Two rules have one code."""


def rule(code: str, *severities: str, source: str = PRACTICE) -> Callable[[Finder], Finder]:
    """Register a pure function as the rule of `code`. Raises Doubled for a code already there."""

    def register(find: Finder) -> Finder:
        if code in RULES:
            raise Doubled(code)
        RULES[code] = Rule(code, tuple(Severity(word) for word in severities), source, find)
        return find

    return register
