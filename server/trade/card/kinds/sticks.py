"""Which channel moved with which stick, and which way."""

from collections.abc import Hashable, Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from server.trade.card.answers import Answer, BadAnswer, only, rows, word
from server.trade.card.judgement import Judgement, failed, more, passed
from server.trade.card.kind import Blank, PartKind, Results, register
from server.trade.card.spec import Spec
from server.trade.card.text import counted, listed
from server.trade.radio.channel_order import SEVERAL, Moved, Sorted, sort_out

STICKS = ("roll", "pitch", "yaw", "throttle")
NOTHING = "nothing"
WAYS = ("rose", "fell")
PUSH = {
    "roll": "to the right",
    "pitch": "forward, away from you",
    "yaw": "to the right",
    "throttle": "up",
}


@dataclass(frozen=True, slots=True)
class Sticks(Spec):
    """`{"stick": "roll", "moved": "yaw", "way": "rose"}`, one entry a tap; `moved` may be `nothing`
    or `several`, without `way`; the latest tap of a stick counts"""

    kind: ClassVar[str] = "sticks"
    sticks: tuple[str, ...] = STICKS


@dataclass(frozen=True, slots=True)
class Pushed:
    """What moved with each stick that was pushed."""

    moved: Mapping[str, Moved]


@register
class SticksKind(PartKind[Sticks, Pushed]):
    name = "sticks"
    spec = Sticks

    def read(self, spec: Sticks, given: Answer) -> Pushed:
        taps = [given]
        if "sticks" in given:
            only(given, ("sticks",))
            taps = rows(given["sticks"], "sticks", "This answer is not complete.")
        return _in_order(spec, dict(_tap(spec, tap) for tap in taps))

    def write(self, answer: Pushed) -> dict[str, Any]:
        taps = [{"stick": stick} | _written(moved) for stick, moved in answer.moved.items()]
        return taps[0] if len(taps) == 1 else {"sticks": taps}

    def judge(self, spec: Sticks, answer: Pushed, before: Results) -> Judgement:
        """Every stick against its own channel, rising."""
        moved = answer.moved
        found = ", ".join(f"{stick} {_seen(seen)}" for stick, seen in moved.items())
        left = [stick for stick in spec.sticks if stick not in moved]
        if left:
            recorded = f"{len(moved)} of {counted(len(spec.sticks), 'stick')} recorded."
            return more(recorded, f"Push the {left[0]} stick {PUSH[left[0]]}.", found)
        answered = sort_out(moved)
        result = _as_json(moved, answered)
        if not answered.findings:
            return passed("Each stick moves its own channel, each rising.", found, result)
        says = " ".join(finding.says for finding in answered.findings)
        return failed(says, " ".join(_do(answered)), found, result)

    def parts(self, answer: Pushed) -> frozenset[Hashable]:
        return frozenset(answer.moved)

    def joined(self, spec: Sticks, earlier: Pushed, later: Pushed) -> Pushed:
        return _in_order(spec, {**earlier.moved, **later.moved})

    def paper(self, spec: Sticks) -> tuple[Blank, ...]:
        return tuple(Blank(f"{stick}: what moved, rose or fell") for stick in spec.sticks)

    def example(self, spec: Sticks) -> tuple[Pushed, ...]:
        return tuple(Pushed({stick: Moved(stick)}) for stick in spec.sticks)


def _in_order(spec: Sticks, moved: Mapping[str, Moved]) -> Pushed:
    return Pushed({stick: moved[stick] for stick in spec.sticks if stick in moved})


def _written(moved: Moved) -> dict[str, str]:
    if moved.channel in (None, SEVERAL):
        return {"moved": moved.channel or NOTHING}
    return {"moved": str(moved.channel), "way": WAYS[0] if moved.rose else WAYS[1]}


def _tap(spec: Sticks, tap: Answer) -> tuple[str, Moved]:
    only(tap, ("stick", "moved", "way"))
    stick = word(tap.get("stick"), "stick", spec.sticks)
    moved = word(tap.get("moved"), "moved", (*spec.sticks, NOTHING, SEVERAL))
    if moved in (NOTHING, SEVERAL):
        if "way" in tap:
            raise BadAnswer("way", "A way is recorded only where one channel moved.")
        return stick, Moved(None if moved == NOTHING else SEVERAL)
    return stick, Moved(moved, word(tap.get("way"), "way", WAYS) == "rose")


def _seen(moved: Moved) -> str:
    if moved.channel is None:
        return "moved nothing"
    if moved.channel == SEVERAL:
        return "moved several"
    return f"moved {moved.channel}, {'rising' if moved.rose else 'falling'}"


def _do(answered: Sorted) -> list[str]:
    """What to do, crossed channels as an exchange in the radio; the board's way is in `orders`."""
    do = [f.do for f in answered.findings if f.code in ("stick-dead", "stick-mixed")]
    if answered.exchange:
        do.append(
            f"In the radio, send {listed(_sent(answered))}; or set the board's channel order."
        )
    if answered.reverse:
        do.append(f"Reverse {listed(answered.reverse)} in the radio, not on the board.")
    return [*do, "Then push each changed stick again."]


def _sent(answered: Sorted) -> list[str]:
    """For each crossed stick where the radio has to send it.

    A stick's own channel is moved now by another stick: that one's place is the right one.
    """
    mover = {channel: stick for stick, channel in answered.exchange.items()}
    return [
        f"{stick} where {mover[stick]} is sent now"
        if stick in mover
        else f"{stick} on a channel of its own"
        for stick in answered.exchange
    ]


def _as_json(moved: Mapping[str, Moved], answered: Sorted) -> dict[str, Any]:
    return {
        "moved": {s: {"channel": m.channel, "rose": m.rose} for s, m in moved.items()},
        "exchange": dict(answered.exchange),
        "reverse": list(answered.reverse),
        "orders": dict(answered.orders),
        "findings": [finding.as_json() for finding in answered.findings],
    }
