"""What other switches bring on, against the arming range."""

from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from typing import Any, ClassVar

from server.trade.card.answers import (
    Answer,
    BadAnswer,
    each,
    microseconds,
    number,
    only,
    rows,
    text,
)
from server.trade.card.judgement import Judgement, failed, more, passed
from server.trade.card.kind import Blank, Results, WholeKind, register
from server.trade.card.kinds.switch import Switch, SwitchReadings, armed_range
from server.trade.card.spec import Spec
from server.trade.card.text import counted, plain
from server.trade.radio.sticks import Span, overlaps, together

ARMING = "arming"
LINES = 4  # on paper, for what else is on switches; more are rare


@dataclass(frozen=True, slots=True)
class Others(Spec):
    """`{"channel": 5, "others": [{"does", "channel", "low", "high"}, ...]}`, what other switches
    bring on, whole µs; an empty list where nothing does"""

    # `channel` is the one that arms; it may be left out where there are no others. `switch` is the
    # step whose readings give the arming range. Channels are counted from 1, sticks first.
    kind: ClassVar[str] = "others"
    switch: str = "switches/arm"
    most: int = 8
    channels: tuple[int, int] = (5, 18)


@dataclass(frozen=True, slots=True)
class Function:
    """What a switch brings on, its channel, and the ends of its range in µs."""

    does: str
    channel: int
    low: Decimal
    high: Decimal

    @property
    def span(self) -> Span:
        """As the solver takes it."""
        return Span(self.does, _channel(self.channel), self.low, self.high)


@dataclass(frozen=True, slots=True)
class Functions:
    """The channel that arms, None where nobody needs to know, and what else is on a switch."""

    channel: int | None
    others: tuple[Function, ...]


@register
class OthersKind(WholeKind[Others, Functions]):
    name = "others"
    spec = Others

    def read(self, spec: Others, given: Answer) -> Functions:
        only(given, ("channel", "others"))
        asked = "Note what a switch brings on, or that nothing does."
        noted = rows(given.get("others"), "others", asked)
        if len(noted) > spec.most:
            says = f"Note {spec.most} at most; those on the arming channel first."
            raise BadAnswer("others", says)
        found = each((n, partial(_function, spec, r, f"others.{n}")) for n, r in enumerate(noted))
        names = [function.does for function in found.values()]
        for n, name in enumerate(names):
            if name in names[:n]:
                says = f"{name} is noted twice. Give it another name."
                raise BadAnswer(f"others.{n}.does", says)
        if not noted and given.get("channel") in (None, ""):
            return Functions(None, ())
        return Functions(_number_of(spec, given.get("channel"), "channel"), tuple(found.values()))

    def write(self, answer: Functions) -> dict[str, Any]:
        noted = [
            {
                "does": f.does,
                "channel": str(f.channel),
                "low": plain(f.low),
                "high": plain(f.high),
            }
            for f in answer.others
        ]
        arms = {} if answer.channel is None else {"channel": str(answer.channel)}
        return arms | {"others": noted}

    def judge(self, spec: Others, answer: Functions, before: Results) -> Judgement:
        """Every other range against the arming range; ends count as inside."""
        spans = tuple(function.span for function in answer.others)
        if not spans or answer.channel is None:
            return passed("No other function is on a switch.", "nothing else on a switch")
        found = "; ".join(f"{s.does} {s.channel}, {_ends(s)}" for s in spans)
        arms = armed_range(Switch(), before.at(spec.switch, SwitchReadings))
        if arms is None:
            return more("The arming range is not known.", "Read the arm switch first.", found)
        arming = Span(ARMING, _channel(answer.channel), arms.low, arms.high)
        clashes = overlaps(ARMING, (arming, *spans))
        notes = " ".join(together(ARMING, spans))
        result = {
            "arming": _as_json(arming) | {"words": arms.words},
            "others": [_as_json(span) for span in spans],
            "clashes": [finding.subject for finding in clashes],
        }
        if clashes:
            says = " ".join([*(finding.says for finding in clashes), notes]).strip()
            again = "Save, then note all of them again."
            return failed(says, " ".join([*(f.do for f in clashes), again]), found, result)
        says = f"None of {counted(len(spans), 'other function')} comes on with arming."
        return passed(f"{says} {notes}".strip(), found, result)

    def paper(self, spec: Others) -> tuple[Blank, ...]:
        lines = (Blank("what, channel, from, to", unit="µs"),) * LINES
        return Blank("channel that arms"), *lines, Blank("nothing else is on a switch", "box")

    def example(self, spec: Others) -> tuple[Functions, ...]:
        return (Functions(5, (Function("beeper", 6, Decimal(1700), Decimal(2200)),)),)


def _function(spec: Others, row: Answer, at: str) -> Function:
    only(row, ("does", "channel", "low", "high"), f"{at}.")
    does = text(row.get("does"), f"{at}.does", "Say what it does.")
    if does.casefold() == ARMING:
        raise BadAnswer(f"{at}.does", "Arming is known. Note only what else there is.")
    channel = _number_of(spec, row.get("channel"), f"{at}.channel")
    ends = each(
        (end, partial(microseconds, row.get(end), f"{at}.{end}")) for end in ("low", "high")
    )
    if ends["low"] > ends["high"]:
        raise BadAnswer(f"{at}.high", "The upper end lies under the lower one.")
    return Function(does, channel, ends["low"], ends["high"])


def _number_of(spec: Others, value: object, field: str) -> int:
    first, last = spec.channels
    read = number(value, field)
    if read != read.to_integral_value() or not first <= read <= last:
        raise BadAnswer(field, f"Enter the channel's number, {first} to {last}.")
    return int(read)


def _channel(number_: int) -> str:
    return f"channel {number_}"


def _ends(span: Span) -> str:
    return f"{plain(span.low)} to {plain(span.high)} µs"


def _as_json(span: Span) -> dict[str, str]:
    return {
        "does": span.does,
        "channel": span.channel,
        "low": plain(span.low),
        "high": plain(span.high),
        "words": _ends(span),
    }
