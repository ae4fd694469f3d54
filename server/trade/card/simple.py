"""Judging evidence that needs no solver: ticks, choices, values, orders, files and photos."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from server.trade.battery.first_power import Found, causes
from server.trade.card import alike
from server.trade.card.answers import (
    Answer,
    BadAnswer,
    attachment,
    mapping,
    number,
    only,
    text,
    word,
)
from server.trade.card.evidence import (
    Choice,
    Field,
    File,
    Option,
    Order,
    Photo,
    Tick,
    Value,
)
from server.trade.card.fixes import FIXES
from server.trade.card.judgement import Judgement, failed, passed
from server.trade.card.text import listed, plain
from server.trade.motors.corners import CORNERS

_HUNDRED = Decimal(100)


def tick(spec: Tick, answer: Answer) -> Judgement:
    """{"done": true}."""
    only(answer, ("done",))
    if answer.get("done") is not True:
        raise BadAnswer("done", "Tick it when it is done.")
    return passed(f"Recorded: {spec.says}.", spec.says)


def choice(spec: Choice, answer: Answer) -> Judgement:
    """{"choice": value}; passes as the option says."""
    only(answer, ("choice",))
    options = {option.value: option for option in spec.options}
    return _chosen(options[word(answer.get("choice"), "choice", tuple(options))])


def _chosen(option: Option, result: Mapping[str, Any] | None = None) -> Judgement:
    found = option.label[:1].lower() + option.label[1:]
    if option.passes:
        return passed(option.says or f"Seen: {found}.", found, result)
    return failed(option.says or f"Seen: {found}.", option.do, found, result)


def value(spec: Value, answer: Answer) -> Judgement:
    """{"values": {name: text}} against the limits, ends included; or {"instead": value}."""
    if "instead" in answer:
        only(answer, ("instead",))
        options = {option.value: option for option in spec.instead}
        happened = word(answer["instead"], "instead", tuple(options))
        return _chosen(options[happened], _happened(spec, happened))
    read = values(spec, answer)
    shown = [field for field in spec.fields if field.name in read and not field.optional]
    found = ", ".join(_shown(read[field.name], field) for field in shown)
    result: dict[str, Any] = {"values": {name: plain(part) for name, part in read.items()}}
    if spec.alike:
        result |= alike.compared(read)
    off = {field: fault for field in shown if (fault := _fault(field, read))}
    faults = list(off.values()) or alike.faults(result.get("odd", ()))
    if not faults:
        return passed(f"{found}: within limits.", found, result)
    do = dict.fromkeys(do for _, do in faults if do)
    # A correction sets one field right against another, which has to be in its own limits first.
    if spec.fix and all(field.near for field in off):
        fix = FIXES[spec.fix](read)
        do[fix.do] = None
        result |= fix.result
    if spec.shares and off:
        result |= _means(spec, read)
    return failed(" ".join(says for says, _ in faults), " ".join(do), found, result)


def _happened(spec: Value, what: str) -> dict[str, Any]:
    """The likely causes where a limiter tripped or something got hot at a current's reading."""
    if not spec.shares or what not in ("tripped", "heat"):
        return {}
    found: Found = "tripped" if what == "tripped" else "heat"
    return {"causes": [c.as_json() for c in causes(found, spec.shares)]}


def _means(spec: Value, read: Mapping[str, Decimal]) -> dict[str, Any]:
    """The likely causes of a current that is out of its window."""
    (field,) = spec.fields
    amps = read[field.name]
    found: Found = "under" if field.low is not None and amps < field.low else "over"
    return {"causes": [c.as_json() for c in causes(found, spec.shares, amps, field.trips)]}


def values(spec: Value, answer: Answer) -> dict[str, Decimal]:
    """Every field's number, but for optional ones left blank.

    Raises BadAnswer at 'values.<name>'.
    """
    only(answer, ("values",))
    given = mapping(answer.get("values"), "values")
    only(given, [field.name for field in spec.fields], "values.")
    return {
        field.name: number(given.get(field.name), f"values.{field.name}", unit=field.unit)
        for field in spec.fields
        if not (field.optional and given.get(field.name) in (None, ""))
    }


def _shown(read: Decimal, field: Field) -> str:
    return f"{plain(read)} {field.unit}".strip()


def _fault(field: Field, read: dict[str, Decimal]) -> tuple[str, str] | None:
    """What is wrong with one field, by how much, and what to do; None within limits."""
    number = read[field.name]
    low, high, named = limits(field, read)
    if low is not None and number < low:
        by, side, do = low - number, "under", field.under
    elif high is not None and number > high:
        by, side, do = number - high, "over", field.over
    else:
        return None
    amount = f"{plain(by)} {field.unit}".strip()
    return f"{field.label}: {_shown(number, field)} is {amount} {side} {named}.", do


def limits(field: Field, read: dict[str, Decimal]) -> tuple[Decimal | None, Decimal | None, str]:
    """The inclusive limits of one field in the light of the others, and their name."""
    if field.near is None:
        return field.low, field.high, "the limit"
    centre = read[field.near.field]
    room = max(field.near.by, abs(centre) * field.near.percent / _HUNDRED)
    named = f"the limit, {plain(room)} {field.unit} either side of the {field.near.field}"
    return centre - room, centre + room, named


def order(spec: Order, answer: Answer) -> Judgement:
    """{"table": {output: corner}}: every output once, every corner once."""
    table = order_table(spec, answer)
    found = ", ".join(f"{output} {corner}" for output, corner in table.items())
    return passed(f"The firmware in use expects {found}.", found, {"table": table})


def order_table(spec: Order, answer: Answer) -> dict[str, str]:
    """The table in the order of the outputs. Raises BadAnswer at 'table.<output>'."""
    only(answer, ("table",))
    given = mapping(answer.get("table"), "table")
    outputs = [str(output) for output in spec.outputs]
    only(given, outputs, "table.")
    table = {out: word(given.get(out), f"table.{out}", CORNERS) for out in outputs}
    for output, corner in table.items():
        twice = [other for other, same in table.items() if same == corner]
        if len(twice) > 1 and output == twice[-1]:
            raise BadAnswer(f"table.{output}", f"{corner} is named on outputs {listed(twice)}.")
    return table


def file(spec: File, answer: Answer) -> Judgement:
    """{"attachment", "name"}, or {"none": reason}."""
    if "none" in answer:
        only(answer, ("none",))
        reason = text(answer["none"], "none", "Say why there is nothing to keep.")
        return passed(f"{spec.none_says} {reason}", f"none: {reason}", {"none": reason})
    kept = attachment(answer)
    return passed(f"Kept as {kept['name']}.", kept["name"], kept)


def photo(spec: Photo, answer: Answer) -> Judgement:
    """{"attachment", "name"}."""
    kept = attachment(answer)
    return passed(f"Kept as {kept['name']}.", kept["name"], kept)
