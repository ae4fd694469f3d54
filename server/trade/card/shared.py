"""Judging what other switches bring on, against the arming range."""

from collections.abc import Mapping
from typing import Any

from server.trade.card.answers import Answer, BadAnswer, mapping, number, only, text
from server.trade.card.evidence import Others, Switch
from server.trade.card.judgement import Judgement, failed, more, passed
from server.trade.card.ranges import armed_range, us
from server.trade.card.text import counted, plain
from server.trade.radio.sticks import Span, overlaps, together

ARMING = "arming"


def others(spec: Others, answer: Answer, so_far: Mapping[str, Mapping[str, Any]]) -> Judgement:
    """Every other range against the arming range of the recorded switch; ends count as inside."""
    channel, spans = read_others(spec, answer)
    if not spans:
        return passed("No other function is on a switch.", "nothing else on a switch")
    found = "; ".join(f"{s.does} {s.channel}, {_ends(s)}" for s in spans)
    arms = armed_range(Switch(), so_far.get(spec.switch))
    if arms is None:
        return more("The arming range is not known.", "Read the arm switch first.", found)
    arming = Span(ARMING, _channel(channel), arms.low, arms.high)
    clashes = overlaps(ARMING, (arming, *spans))
    notes = " ".join(together(ARMING, spans))
    result = {
        "arming": _as_json(arming) | {"words": arms.words},
        "others": [_as_json(span) for span in spans],
        "clashes": [finding.subject for finding in clashes],
    }
    if clashes:
        says = " ".join([*(finding.says for finding in clashes), notes]).strip()
        do = " ".join([*(finding.do for finding in clashes), "Save, then note all of them again."])
        return failed(says, do, found, result)
    says = f"None of {counted(len(spans), 'other function')} comes on with arming."
    return passed(f"{says} {notes}".strip(), found, result)


def read_others(spec: Others, answer: Answer) -> tuple[int, tuple[Span, ...]]:
    """The arming channel, 0 where there is none to know, and the other ranges.

    Raises BadAnswer at 'channel', 'others' or 'others.<index>.<key>'.
    """
    only(answer, ("channel", "others"))
    rows = answer.get("others")
    if not isinstance(rows, list | tuple):
        raise BadAnswer("others", "Note what the switches bring on.")
    if len(rows) > spec.most:
        raise BadAnswer("others", f"Note {spec.most} at most; those on the arming channel first.")
    spans = tuple(_span(spec, mapping(row, "others"), f"others.{n}") for n, row in enumerate(rows))
    names = [span.does for span in spans]
    for n, name in enumerate(names):
        if name in names[:n]:
            raise BadAnswer(f"others.{n}.does", f"{name} is noted twice. Give it another name.")
    if not spans and answer.get("channel") in (None, ""):
        return 0, ()
    return _number_of(spec, answer.get("channel"), "channel"), spans


def _span(spec: Others, row: Mapping[str, Any], at: str) -> Span:
    only(row, ("does", "channel", "low", "high"), f"{at}.")
    does = text(row.get("does"), f"{at}.does", "Say what it does.")
    if does.casefold() == ARMING:
        raise BadAnswer(f"{at}.does", "Arming is known. Note only what else there is.")
    channel = _number_of(spec, row.get("channel"), f"{at}.channel")
    low, high = us(row.get("low"), f"{at}.low"), us(row.get("high"), f"{at}.high")
    if low > high:
        raise BadAnswer(f"{at}.high", "The upper end lies under the lower one.")
    return Span(does, _channel(channel), low, high)


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
