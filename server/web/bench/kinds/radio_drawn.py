"""What was found at the radio's steps, drawn and in words: shown after the answer."""

from collections.abc import Collection, Mapping
from decimal import Decimal
from typing import Any

from server.drawing.radio.at_rest import at_rest
from server.drawing.radio.crossed import crossed
from server.drawing.radio.stick_ends import stick_ends
from server.drawing.radio.switch import switch_range
from server.trade.card import Judgement, losing
from server.trade.card.evidence import Others
from server.trade.card.shared import ARMING
from server.trade.card.text import plain, tie
from server.trade.radio.arming import BOTTOM, TOP
from server.trade.radio.channel_order import SEVERAL
from server.web.bench.kinds.answer import whole_answer
from server.web.bench.kinds.causes import causes_of
from server.work.bench.step_status import Standing

RADIO = (
    "Change only what is listed: in the radio move the centre, set each end in per cent of the "
    "present throw, reverse where it says so. The channel then reads 1000 / 1500 / 2000 µs: read "
    "it again."
)


def sticks(_standing: Standing, found: Judgement, _others: object) -> dict[str, Any]:
    if found.state == "more":
        return {}
    moved = {
        stick: (seen["channel"], seen["rose"]) for stick, seen in found.result["moved"].items()
    }
    drawing = crossed(moved, "result")
    if found.passed:
        return {"drawing": drawing}
    orders = found.result["orders"].items()
    points = tuple(
        f"Where the board’s channel order is {old} now, set {new}." for old, new in orders
    )
    return {
        "drawing": drawing,
        "heads": ("Stick", "Moves", "Wanted"),
        "rows": tuple(_stick_row(stick, *seen) for stick, seen in moved.items()),
        "points": points,
    }


def _stick_row(stick: str, channel: str | None, rose: bool) -> tuple[str, ...]:
    if channel is None or channel == SEVERAL:
        return (stick, channel or "nothing", f"{stick}, rising")
    return (stick, f"{channel}, {'rising' if rose else 'falling'}", f"{stick}, rising")


def channels(_standing: Standing, found: Judgement, _others: object) -> dict[str, Any]:
    if found.state == "more":
        return {}
    read, faults = found.result["read"], found.result["faults"]
    three = {c: (us["low"], us["centre"], us["high"]) for c, us in read.items()}
    off = {c: [p in faults.get(c, ()) for p in ("low", "centre", "high")] for c in read}
    drawing = stick_ends(three, off, "result")
    if found.passed:
        return {"drawing": drawing}
    rows = tuple(
        _channel_row(row, read[row["channel"]], found.result["asked"].get(row["channel"], ()))
        for row in found.result["channels"]
    )
    refused = tuple(f"{f['subject']}: {f['do']}" for f in found.result["findings"])
    return {
        "do": RADIO,
        "drawing": drawing,
        "points": refused,
        "heads": ("Channel", "Reads, µs", "Set in the radio"),
        "rows": rows,
    }


def _channel_row(
    row: Mapping[str, Any], read: Mapping[str, str], asked: Collection[str]
) -> tuple[str, ...]:
    reads = " / ".join(read[place] for place in ("low", "centre", "high"))
    if "refused" in row:
        return (row["channel"], reads, row["refused"])
    if not asked:
        return (row["channel"], reads, "leave it")
    change = [tie(f"centre {row['trim_us']:+g} µs")] if "centre" in asked else []
    for end in ("low", "high"):
        if end in asked and row[f"{end}_percent"] != 100:
            change.append(f"{end} end {_percent(row[f'{end}_percent'])}")
    change += ["reverse"] if row["reverse"] else []
    return (row["channel"], reads, ", ".join(change))


def _percent(exact: float) -> str:
    """As a radio takes it, in whole per cent, and to two places where that is not the same."""
    whole = f"{exact:.0f} %"
    return tie(whole if exact == round(exact) else f"{whole} ({exact:g})")


def rest(_standing: Standing, found: Judgement, _others: object) -> dict[str, Any]:
    """Each channel's noise and deadband on one axis, and as a table."""
    seen = found.result["rest"]
    off = found.result["faults"]
    spans = [
        (
            r["channel"],
            Decimal(r["low"]),
            Decimal(r["high"]),
            Decimal(r["deadband"]),
            r["channel"] in off,
        )
        for r in seen
    ]
    return {
        "drawing": at_rest(spans, "result"),
        "heads": ("Channel", "Middle", "Either side", "Deadband"),
        "rows": tuple(
            (r["channel"], *(tie(f"{r[key]} µs") for key in ("middle", "either_side", "deadband")))
            for r in seen
        ),
        "causes": causes_of(found.result),
    }


def loss(_standing: Standing, found: Judgement, _others: object) -> dict[str, Any]:
    """What each channel did, and whether it may."""
    return {
        "heads": ("Channel", "With the radio off", "May it?"),
        "rows": tuple(
            (channel, losing.says(channel, what), "no" if losing.wrong(what) else "yes")
            for channel, what in found.result["channels"].items()
        ),
    }


def switch(standing: Standing, found: Judgement, _others: object) -> dict[str, Any]:
    read, span = _read_switch(whole_answer(standing) or {}), _span(found.result.get("arms"))
    return {
        "drawing": _switch_drawn(read, span),
        "heads": ("Position", "Reads", "From the range"),
        "rows": tuple(_position_row(name, us, span) for name, us in read.items()),
    }


def _read_switch(answer: Mapping[str, Any]) -> dict[str, Decimal]:
    read = {name: answer.get(name) for name in ("rest", "armed", "middle", "radio_off")}
    return {name: Decimal(us) for name, us in read.items() if us not in (None, "", "none")}


def _span(arms: Mapping[str, str] | None) -> tuple[Decimal, Decimal] | None:
    return (Decimal(arms["low"]), Decimal(arms["high"])) if arms else None


def _switch_drawn(
    read: Mapping[str, Decimal],
    span: tuple[Decimal, Decimal] | None,
    others: tuple[tuple[str, Decimal, Decimal], ...] = (),
) -> str:
    return switch_range(
        read["rest"],
        read["armed"],
        read.get("middle"),
        read.get("radio_off"),
        span,
        "result",
        others=others,
    )


def _position_row(name: str, us: Decimal, span: tuple[Decimal, Decimal] | None) -> tuple[str, ...]:
    said = (name.replace("_", " "), tie(f"{plain(us)} µs"))
    if span is None:
        return (*said, "no safe range")
    low, high = span
    if us < low:
        return (*said, tie(f"{plain(low - us)} µs under it"))
    if us > high:
        return (*said, tie(f"{plain(us - high)} µs over it"))
    ends = [f"{plain(us - low)} µs from the low end"] if low > BOTTOM else []
    ends += [f"{plain(high - us)} µs from the high end"] if high < TOP else []
    return (*said, tie(", ".join(["inside", *ends])))


def others(standing: Standing, found: Judgement, others: Mapping[str, Standing]) -> dict[str, Any]:
    """What else comes on, each with whether it meets arming; drawn where it shares the channel."""
    arming = found.result.get("arming")
    spec = standing.step.evidence
    if arming is None or not isinstance(spec, Others) or spec.switch not in others:
        return {}
    rest = found.result["others"]
    near = tuple(
        (o["does"], Decimal(o["low"]), Decimal(o["high"]))
        for o in rest
        if o["channel"] == arming["channel"]
    )
    read = _read_switch(whole_answer(others[spec.switch]) or {})
    clashes = found.result["clashes"]
    return {
        "drawing": _switch_drawn(read, _span(arming), near),
        "heads": ("Comes on", "Channel", "Range", "With arming"),
        "rows": tuple(_other_row(o, o["does"] in clashes) for o in (arming, *rest)),
    }


def _other_row(other: Mapping[str, str], clash: bool) -> tuple[str, ...]:
    channel = other["channel"].removeprefix("channel ")
    return (
        other["does"],
        channel,
        tie(other["words"]),
        "yes" if clash else "no" if other["does"] != ARMING else "",
    )
