"""What board and channels do when the radio is switched off."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any, ClassVar

from server.trade.card.answers import Answer, BadAnswer, each, mapping, only, word
from server.trade.card.judgement import Judgement, failed, passed
from server.trade.card.kind import Blank, Results, WholeKind, register
from server.trade.card.kinds.sticks import STICKS
from server.trade.card.spec import Spec
from server.trade.card.text import listed
from server.trade.radio.link_loss import remedy

REPORTS = {
    "in-time": "the board reported the loss within about 1 s",
    "late": "the board reported the loss later",
    "never": "the board reported nothing",
}
NOTHING, STAYED, REST, ELSEWHERE = "nothing", "stayed", "rest", "elsewhere"
SEEN = (NOTHING, STAYED, REST, ELSEWHERE)
THROTTLE = "throttle"
_STOP = "Set the board to stop the motors on loss. Save, restart, and switch the radio off again."


@dataclass(frozen=True, slots=True)
class Loss(Spec):
    """`{"report": "in-time", "channels": {"roll": "nothing", ...}}`; `report` is `in-time`, `late`
    or `never`; of each channel `nothing`, `stayed`, `rest` (the middle; for the throttle its low
    end) or `elsewhere`"""

    # `protocol` is the receiver's, where one is set.
    kind: ClassVar[str] = "loss"
    channels: tuple[str, ...] = STICKS
    protocol: str | None = None


@dataclass(frozen=True, slots=True)
class LossSeen:
    """What the board reported, and what each channel did."""

    report: str
    channels: Mapping[str, str]


@register
class LossKind(WholeKind[Loss, LossSeen]):
    name = "loss"
    spec = Loss

    def read(self, spec: Loss, given: Answer) -> LossSeen:
        only(given, ("report", "channels"))
        did = mapping(given.get("channels"), "channels")
        only(did, spec.channels, "channels.")
        seen = each((name, partial(_did, did.get(name), name)) for name in spec.channels)
        return LossSeen(word(given.get("report"), "report", tuple(REPORTS)), seen)

    def write(self, answer: LossSeen) -> dict[str, Any]:
        return {"report": answer.report, "channels": dict(answer.channels)}

    def judge(self, spec: Loss, answer: LossSeen, before: Results) -> Judgement:
        """Reported in time, no channel left where it was, and none driven elsewhere."""
        report, seen = answer.report, answer.channels
        found = "; ".join([REPORTS[report], *(f"{c} {says(c, what)}" for c, what in seen.items())])
        faults = _faults(report, seen)
        if not faults:
            does = "The loss is seen in time, and no stick stays."
            return passed(does, found, self.write(answer))
        do = f"{remedy(spec.protocol)} {_STOP}"
        return failed(" ".join(faults), do, found, self.write(answer))

    def paper(self, spec: Loss) -> tuple[Blank, ...]:
        reports = (Blank(f"reported: {when}", "box") for when in ("in time", "late", "never"))
        return (*reports, *(Blank(f"{c}: what it did") for c in spec.channels))

    def example(self, spec: Loss) -> tuple[LossSeen, ...]:
        return (LossSeen("in-time", dict.fromkeys(spec.channels, NOTHING)),)


def _did(value: object, channel: str) -> str:
    if value in (None, ""):
        raise BadAnswer(f"channels.{channel}", f"Choose what {channel} did.")
    return word(value, f"channels.{channel}", SEEN)


def says(channel: str, seen: str) -> str:
    """What a channel did, in words."""
    home = "goes low" if channel == THROTTLE else "goes to the middle"
    away = "goes above low" if channel == THROTTLE else "goes elsewhere"
    words = {NOTHING: "shows nothing", STAYED: "stays where it was", REST: home, ELSEWHERE: away}
    return words[seen]


def wrong(seen: str) -> bool:
    """Whether a channel may not do that."""
    return seen in (STAYED, ELSEWHERE)


def _faults(report: str, seen: Mapping[str, str]) -> list[str]:
    faults = [f"{REPORTS[report][:1].upper()}{REPORTS[report][1:]}."] if report != "in-time" else []
    if stayed := [c for c, what in seen.items() if what == STAYED]:
        held, many = listed(stayed), len(stayed) > 1
        held = f"{held[:1].upper()}{held[1:]} {'stay' if many else 'stays'}"
        faults.append(f"{held} where the hand left {'them' if many else 'it'}.")
    for channel, what in seen.items():
        if what == ELSEWHERE:
            faults.append(f"{channel[:1].upper()}{channel[1:]} {says(channel, what)}.")
    return faults
