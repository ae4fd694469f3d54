"""Steps that are recorded part by part, a stick or a channel at a time: which one is asked for."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from server.trade.card.evidence import Channels, Sticks
from server.trade.card.judgement import Judgement
from server.trade.card.sticks import PUSH
from server.work.bench.step_status import Standing

ALL = "all"
# What a hand does at each of a channel's three places.
ENDS = {
    "roll": ("Stick left", "Let go", "Stick right"),
    "pitch": ("Stick back", "Let go", "Stick forward"),
    "yaw": ("Stick left", "Let go", "Stick right"),
    "throttle": ("Stick down", "Half way", "Stick up"),
}


@dataclass(frozen=True)
class Part:
    """One part: `state` is seen, now or next."""

    name: str
    state: str
    says: str


@dataclass(frozen=True)
class Stepping:
    """The part asked for: '' where none is left to ask, 'all' where all are, in one form."""

    part: str
    parts: tuple[Part, ...]
    title: str = ""
    ends: tuple[str, str, str] = ("Low", "Centre", "High")


def stepping_of(
    standing: Standing, answer: Mapping[str, Any] | None, found: Judgement | None, asked: str
) -> Stepping | None:
    """What to ask for next, in the light of what is recorded; None for steps of another kind.

    First what is not recorded yet; then what is out of limits, since only that is read again.
    """
    spec = standing.step.evidence
    if not isinstance(spec, Channels | Sticks):
        return None
    names = spec.channels if isinstance(spec, Channels) else spec.sticks
    read = _read(spec, answer or {})
    part = asked if asked in (*names, ALL) else _next(names, read, found)
    parts = tuple(_part(name, part, read, found) for name in names)
    return Stepping(part, parts, _title(spec, part), ENDS.get(part, Stepping.ends))


def _read(spec: Channels | Sticks, answer: Mapping[str, Any]) -> dict[str, str]:
    """What is recorded of each part, in a word or two."""
    if isinstance(spec, Channels):
        return {row["channel"]: "read" for row in answer.get("channels", ())}
    return {tap["stick"]: _tapped(tap) for tap in answer.get("sticks", ())}


def _tapped(tap: Mapping[str, Any]) -> str:
    return f"{tap['moved']} {tap['way']}" if "way" in tap else str(tap["moved"])


def _next(names: tuple[str, ...], read: Mapping[str, str], found: Judgement | None) -> str:
    left = [name for name in names if name not in read]
    return next(iter(left or [name for name in names if name in _off(found)]), "")


def _off(found: Judgement | None) -> tuple[str, ...]:
    """The parts that are out of limits."""
    result = found.result if found and found.state == "fail" else {}
    subjects = [finding["subject"] for finding in result.get("findings", ())]
    return (*result.get("faults", {}), *result.get("exchange", {}), *subjects)


def _part(name: str, part: str, read: Mapping[str, str], found: Judgement | None) -> Part:
    if name == part:
        return Part(name, "now", "now")
    if name in read:
        return Part(name, "seen", f"{read[name]}, out" if name in _off(found) else read[name])
    return Part(name, "next", "next")


def _title(spec: Channels | Sticks, part: str) -> str:
    if part in ("", ALL):
        return ""
    if isinstance(spec, Channels):
        return f"Read {part}: both ends and between"
    return f"Push the {part} stick {PUSH[part]}. What moves?"
