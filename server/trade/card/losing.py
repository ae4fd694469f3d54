"""Judging what board and channels do when the radio is switched off."""

from server.trade.card.answers import Answer, mapping, only, word
from server.trade.card.evidence import Loss
from server.trade.card.judgement import Judgement, failed, passed
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


def loss(spec: Loss, answer: Answer) -> Judgement:
    """Reported in time, no channel left where it was, and none driven elsewhere."""
    only(answer, ("report", "channels"))
    seen = read_seen(spec, answer)
    report = word(answer.get("report"), "report", tuple(REPORTS))
    found = "; ".join([REPORTS[report], *(f"{c} {says(c, what)}" for c, what in seen.items())])
    faults = _faults(report, seen)
    result = {"channels": seen, "report": report}
    if not faults:
        return passed("The loss is seen in time, and no stick stays.", found, result)
    return failed(" ".join(faults), f"{remedy(spec.protocol)} {_STOP}", found, result)


def read_seen(spec: Loss, answer: Answer) -> dict[str, str]:
    """What each channel did, in the spec's order. Raises BadAnswer at 'channels.<name>'."""
    given = mapping(answer.get("channels"), "channels")
    only(given, spec.channels, "channels.")
    return {name: word(given.get(name), f"channels.{name}", SEEN) for name in spec.channels}


def says(channel: str, seen: str) -> str:
    """What a channel did, in words."""
    home = "goes low" if channel == THROTTLE else "goes to the middle"
    away = "goes above low" if channel == THROTTLE else "goes elsewhere"
    words = {NOTHING: "shows nothing", STAYED: "stays where it was", REST: home, ELSEWHERE: away}
    return words[seen]


def wrong(seen: str) -> bool:
    """Whether a channel may not do that."""
    return seen in (STAYED, ELSEWHERE)


def _faults(report: str, seen: dict[str, str]) -> list[str]:
    faults = [f"{REPORTS[report][:1].upper()}{REPORTS[report][1:]}."] if report != "in-time" else []
    if stayed := [c for c, what in seen.items() if what == STAYED]:
        held, many = listed(stayed), len(stayed) > 1
        held = f"{held[:1].upper()}{held[1:]} {'stay' if many else 'stays'}"
        faults.append(f"{held} where the hand left {'them' if many else 'it'}.")
    for channel, what in seen.items():
        if what == ELSEWHERE:
            faults.append(f"{channel[:1].upper()}{channel[1:]} {says(channel, what)}.")
    return faults
