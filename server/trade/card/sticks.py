"""Judging which channel moved with which stick, and which way."""

from collections.abc import Mapping
from typing import Any

from server.trade.card.answers import Answer, BadAnswer, mapping, only, word
from server.trade.card.evidence import Sticks
from server.trade.card.judgement import Judgement, failed, more, passed
from server.trade.card.text import counted, listed
from server.trade.radio.channel_order import SEVERAL, Moved, Sorted, sort_out

NOTHING = "nothing"
WAYS = ("rose", "fell")
PUSH = {
    "roll": "to the right",
    "pitch": "forward, away from you",
    "yaw": "to the right",
    "throttle": "up",
}


def sticks(spec: Sticks, answer: Answer) -> Judgement:
    """Every stick against its own channel, rising; the latest tap of each counts."""
    moved = read_sticks(spec, answer)
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


def read_sticks(spec: Sticks, answer: Answer) -> dict[str, Moved]:
    """The latest tap of each stick, in the spec's order. Raises BadAnswer."""
    if "sticks" not in answer:
        taps = [answer]
    else:
        only(answer, ("sticks",))
        if not isinstance(answer["sticks"], list | tuple):
            raise BadAnswer("sticks", "This answer is not complete.")
        taps = [mapping(tap, "sticks") for tap in answer["sticks"]]
    read = dict(_tap(spec, tap) for tap in taps)
    return {stick: read[stick] for stick in spec.sticks if stick in read}


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
