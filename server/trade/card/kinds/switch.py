"""The arm switch's readings, and the range to set from them."""

from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal
from functools import partial
from typing import Any, ClassVar

from server.trade.card.answers import Answer, each, microseconds, only
from server.trade.card.judgement import Judgement, failed, passed
from server.trade.card.kind import Blank, Results, WholeKind, register
from server.trade.card.spec import Spec
from server.trade.card.text import plain
from server.trade.radio.arming import Armed
from server.trade.radio.ends import RadioEnds, solve
from server.trade.solving import plain_number

_WHOLE = Decimal(1)
_SILENT = "none"


@dataclass(frozen=True, slots=True)
class Switch(Spec):
    """`{"rest", "armed", "middle"?, "radio_off"}`, whole µs; `radio_off` is `none` where the board
    then shows nothing"""

    kind: ClassVar[str] = "switch"
    switch: str = "arm"


@dataclass(frozen=True, slots=True)
class SwitchReadings:
    """Readings in µs; None where there is no middle, or nothing is shown with the radio off."""

    rest: Decimal
    armed: Decimal
    middle: Decimal | None = None
    radio_off: Decimal | None = None

    @property
    def by_place(self) -> dict[str, Decimal]:
        """Those that there are."""
        places = ("rest", "armed", "middle", "radio_off")
        found = ((place, getattr(self, place)) for place in places)
        return {place: us for place, us in found if us is not None}


@register
class SwitchKind(WholeKind[Switch, SwitchReadings]):
    name = "switch"
    spec = Switch

    def read(self, spec: Switch, given: Answer) -> SwitchReadings:
        only(given, ("rest", "armed", "middle", "radio_off"))
        asked = ["rest", "armed"]
        asked += ["middle"] if given.get("middle") not in (None, "") else []
        asked += ["radio_off"] if given.get("radio_off") != _SILENT else []
        read = each((place, partial(microseconds, given.get(place), place)) for place in asked)
        return SwitchReadings(**read)

    def write(self, answer: SwitchReadings) -> dict[str, Any]:
        return {"radio_off": _SILENT} | {p: plain(us) for p, us in answer.by_place.items()}

    def judge(self, spec: Switch, answer: SwitchReadings, before: Results) -> Judgement:
        """Passes with the range to set, fails where no range is safe."""
        ends = _solved(spec, answer)
        found = ", ".join(
            f"{p.replace('_', ' ')} {plain(us)} µs" for p, us in answer.by_place.items()
        )
        (answered,) = ends.switches
        says = " ".join(finding.says for finding in ends.findings)
        if not isinstance(answered, Armed):
            do = " ".join(dict.fromkeys(finding.do for finding in ends.findings))
            return failed(says, do, found, ends.as_json())
        arms = _settable(answered)
        range_ = f"Set arming to {arms.words}: {plain(arms.margin_us)} µs of room."
        set_to = {"low": plain(arms.low), "high": plain(arms.high), "words": arms.words}
        result = ends.as_json() | {"arms": set_to}
        return passed(f"{range_} {says}".strip(), f"{found}; arms at {arms.words}", result)

    def paper(self, spec: Switch) -> tuple[Blank, ...]:
        return tuple(Blank(at, unit="µs") for at in ("rest", "armed", "middle", "radio off"))

    def example(self, spec: Switch) -> tuple[SwitchReadings, ...]:
        return (SwitchReadings(Decimal(1000), Decimal(2000), radio_off=Decimal(988)),)


def armed_range(spec: Switch, answer: SwitchReadings | None) -> Armed | None:
    """The range that recorded readings give; None without any, or where none is safe."""
    if answer is None:
        return None
    (answered,) = _solved(spec, answer).switches
    return _settable(answered) if isinstance(answered, Armed) else None


def _settable(armed: Armed) -> Armed:
    """The range in whole µs, as it is set: readings are whole, so the least margin keeps its 40."""
    half = Decimal("0.5") if armed.low % 1 or armed.high % 1 else Decimal(0)
    low, high = (end.quantize(_WHOLE, ROUND_CEILING) for end in (armed.low, armed.high))
    return replace(
        armed, low=low, high=high, margin_us=(armed.margin_us - half).to_integral_value()
    )


def _solved(spec: Switch, read: SwitchReadings) -> RadioEnds:
    numbers = {place: plain_number(us) for place, us in read.by_place.items()}
    return solve({"switches": [{"switch": spec.switch} | numbers]})
