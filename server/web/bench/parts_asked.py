"""Steps that are recorded part by part, a stick or a channel at a time: which one is asked for."""

from collections.abc import Mapping
from dataclasses import dataclass

from server.trade.card import Judgement
from server.web.bench.kind_view import Here

ALL = "all"


@dataclass(frozen=True)
class NamedPart:
    """One part: `state` is seen, now or next."""

    name: str
    state: str
    says: str


@dataclass(frozen=True)
class Stepping:
    """The part asked for: '' where none is left to ask, 'all' where all are, in one form."""

    part: str
    parts: tuple[NamedPart, ...]


def stepping_of(here: Here, names: tuple[str, ...], read: Mapping[str, str]) -> Stepping:
    """What to ask for next, in the light of what is recorded: `read`, in a word or two each.

    First what is not recorded yet; then what is out of limits, since only that is read again.
    """
    found, asked = here.judgement, here.turn.part
    part = asked if asked in (*names, ALL) else _next(names, read, found)
    return Stepping(part, tuple(_part(name, part, read, found) for name in names))


def _next(names: tuple[str, ...], read: Mapping[str, str], found: Judgement | None) -> str:
    left = [name for name in names if name not in read]
    return next(iter(left or [name for name in names if name in _off(found)]), "")


def _off(found: Judgement | None) -> tuple[str, ...]:
    """The parts that are out of limits."""
    result = found.result if found and found.state == "fail" else {}
    subjects = [finding["subject"] for finding in result.get("findings", ())]
    return (*result.get("faults", {}), *result.get("exchange", {}), *subjects)


def _part(name: str, part: str, read: Mapping[str, str], found: Judgement | None) -> NamedPart:
    if name == part:
        return NamedPart(name, "now", "now")
    if name in read:
        says = f"{read[name]}, out" if name in _off(found) else read[name]
        return NamedPart(name, "seen", says)
    return NamedPart(name, "next", "next")
