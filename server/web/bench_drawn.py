"""What was found at a step, drawn and in words: shown after the answer, never before it."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Any

from server.drawing.craft import craft_from_above
from server.drawing.crossed import crossed
from server.drawing.limits import limits_line
from server.drawing.mini_map import mini_map
from server.drawing.stick_ends import stick_ends
from server.drawing.switch import switch_range
from server.trade.arming import BOTTOM, TOP
from server.trade.card import BadAnswer, Judgement, gather, judge
from server.trade.card.evidence import Field, Others, Spins, Value
from server.trade.card.shared import ARMING
from server.trade.card.text import plain, tie
from server.trade.channel_order import SEVERAL
from server.trade.corners import CORNERS, PLANS, TURNS
from server.work.facts import facts_of
from server.work.standing import Standing

RADIO = (
    "In the radio move each centre, set each end in per cent of the present throw, reverse where "
    "it says so. Each channel then reads 1000 / 1500 / 2000 µs: read it again."
)


@dataclass(frozen=True)
class Result:
    """The judgement of what stands at a step. `causes`: likeliest first, each with a next look."""

    state: str
    says: str
    do: str
    verdict: str = ""
    drawing: str = ""
    heads: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    points: tuple[str, ...] = ()
    causes: tuple[tuple[str, str], ...] = ()


@lru_cache(maxsize=256)
def small_map(sheet_json: str) -> str:
    """The small map of a saved sheet, which never changes."""
    return mini_map(facts_of(sheet_json).sheet, "mini")


def whole_answer(standing: Standing) -> dict[str, Any] | None:
    """Every entry for the present target as one answer."""
    return gather(standing.step, [json.loads(e.answer) for e in standing.entries])


def judged(standing: Standing, others: Mapping[str, Standing]) -> Judgement | None:
    """What stands at a step, judged again with what a solver works out; None without entries."""
    answer = whole_answer(standing)
    if answer is None:
        return None
    read = {key: whole_answer(others[key]) for key in standing.step.reads if key in others}
    try:
        return judge(standing.step, answer, {k: v for k, v in read.items() if v is not None})
    except BadAnswer:
        return None  # kept under an older reading of the kind; the entry itself still shows


def result_of(standing: Standing, others: Mapping[str, Standing]) -> Result | None:
    """What to show of a recorded step; None without entries."""
    found = judged(standing, others)
    if found is None:
        return None
    draw = _DRAWN.get(standing.step.evidence.kind)
    more = draw(standing, found, others) if draw else {}
    return Result(**{"state": found.state, "says": found.says, "do": found.do} | more)


def reading_drawn(standing: Standing, prefix: str) -> str:
    """The limits of a step's one field with its last reading; empty where it has no such field."""
    field = only_field(standing.step.evidence)
    answer = whole_answer(standing) or {}
    reading = answer.get("values", {}).get(field.name) if field else None
    if field is None or reading is None:
        return ""
    return field_drawn(field, Decimal(reading), prefix)


def only_field(spec: object) -> Field | None:
    """The one field of a value step that has both limits."""
    if not isinstance(spec, Value) or len(spec.fields) != 1:
        return None
    field = spec.fields[0]
    return field if field.low is not None and field.high is not None else None


def field_drawn(field: Field, reading: Decimal | None, prefix: str) -> str:
    """A field's limits as a bracket; empty where a side has none."""
    if field.low is None or field.high is None:
        return ""
    low, high = Decimal(plain(field.low)), Decimal(plain(field.high))
    trips = None if field.trips is None else Decimal(plain(field.trips))
    return limits_line(low, high, reading, field.unit, prefix, trips=trips)


def _value(standing: Standing, found: Judgement, _others: object) -> dict[str, Any]:
    likely = tuple((c["cause"], c["look"]) for c in found.result.get("causes", ()))
    return {"drawing": reading_drawn(standing, "result"), "causes": likely}


def _spins(standing: Standing, found: Judgement, others: Mapping[str, Standing]) -> dict[str, Any]:
    spec = standing.step.evidence
    if found.state == "more" or not found.result or not isinstance(spec, Spins):
        return {}
    taps = {int(t["output"]): t for t in (whole_answer(standing) or {})["spins"]}
    order = (whole_answer(others[spec.order]) or {}) if spec.order in others else {}
    expects = {int(n): corner for n, corner in order.get("table", {}).items()}
    return {
        "verdict": found.result["verdict"]["says"],
        "drawing": _craft(spec, taps),
        "heads": ("Output", "Found", "Wanted"),
        "rows": tuple(_spin_row(spec, n, taps[n], expects.get(n)) for n in spec.outputs),
        "points": _spin_points(found.result),
    }


def _craft(spec: Spins, taps: Mapping[int, Mapping[str, Any]]) -> str:
    moved = {t["corner"]: t["turn"] for t in taps.values() if t["seen"] == "turned"}
    outputs = {t["corner"]: f"output {n}" for n, t in taps.items() if t["seen"] == "turned"}
    found = {corner: moved.get(corner) for corner in CORNERS}
    return craft_from_above(PLANS[spec.props], found, outputs, "result")


def _spin_row(spec: Spins, output: int, tap: Mapping[str, Any],
              corner: str | None) -> tuple[str, ...]:  # fmt: skip
    wanted = f"{corner} {TURNS[PLANS[spec.props][corner]]}" if corner else ""
    return (str(output), tap_says(tap), wanted)


def tap_says(tap: Mapping[str, Any]) -> str:
    """'RR clockwise', or what else was seen."""
    if tap["seen"] == "turned":
        return f"{tap['corner']} {TURNS[tap['turn']]}"
    return {"nothing": "nothing turned", "stuttered": "stuttered", "two": "two turned"}[tap["seen"]]


def _spin_points(result: Mapping[str, Any]) -> tuple[str, ...]:
    swaps = [f"What output {n} drives belongs on output {to}."
             for n, to in result["exchange"].items()]  # fmt: skip
    turns = [f"Reverse output {n}." for n in result["reverse"]]
    causes = [
        f"Output {n}: {cause['cause']} {cause['look']}"
        for n, every in result.get("causes", {}).items()
        for cause in every
    ]
    return (*swaps, *turns, *causes)


def _faces(_standing: Standing, found: Judgement, _others: object) -> dict[str, Any]:
    angles = found.result
    if not all(axis in angles for axis in ("yaw", "roll", "pitch")):
        return {}
    named = (("Yaw", "yaw"), ("roll", "roll"), ("pitch", "pitch"))
    return {"verdict": ", ".join(f"{name} {angles[key]:g}°" for name, key in named)}


def _sticks(_standing: Standing, found: Judgement, _others: object) -> dict[str, Any]:
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


def _channels(_standing: Standing, found: Judgement, _others: object) -> dict[str, Any]:
    if found.state == "more":
        return {}
    read, faults = found.result["read"], found.result["faults"]
    three = {c: (us["low"], us["centre"], us["high"]) for c, us in read.items()}
    off = {c: [p in faults.get(c, ()) for p in ("low", "centre", "high")] for c in read}
    drawing = stick_ends(three, off, "result")
    if found.passed:
        return {"drawing": drawing}
    rows = tuple(_channel_row(row, read[row["channel"]]) for row in found.result["channels"])
    refused = tuple(f"{f['subject']}: {f['do']}" for f in found.result["findings"])
    return {
        "do": RADIO,
        "drawing": drawing,
        "points": refused,
        "heads": ("Channel", "Reads, µs", "Set in the radio"),
        "rows": rows,
    }


def _channel_row(row: Mapping[str, Any], read: Mapping[str, str]) -> tuple[str, ...]:
    reads = " / ".join(read[place] for place in ("low", "centre", "high"))
    if "refused" in row:
        return (row["channel"], reads, row["refused"])
    trim = row["trim_us"]
    ends = (row["low_percent"], row["high_percent"]) == (100, 100)
    change = [tie(f"centre {trim:+g} µs")] if trim else []
    if not ends:
        low, high = _percent(row["low_percent"]), _percent(row["high_percent"])
        change += [f"low end {low}", f"high end {high}"]
    change += ["reverse"] if row["reverse"] else []
    return (row["channel"], reads, ", ".join(change) or "as it is")


def _percent(exact: float) -> str:
    """As a radio takes it, in whole per cent, and to two places where that is not the same."""
    whole = f"{exact:.0f} %"
    return tie(whole if exact == round(exact) else f"{whole} ({exact:g})")


def _switch(standing: Standing, found: Judgement, _others: object) -> dict[str, Any]:
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


def _switch_drawn(read: Mapping[str, Decimal], span: tuple[Decimal, Decimal] | None,
                  others: tuple[tuple[str, Decimal, Decimal], ...] = ()) -> str:  # fmt: skip
    return switch_range(read["rest"], read["armed"], read.get("middle"), read.get("radio_off"),
                        span, "result", others=others)  # fmt: skip


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


def _others(standing: Standing, found: Judgement, others: Mapping[str, Standing]) -> dict[str, Any]:
    """What else comes on, each with whether it meets arming; drawn where it shares the channel."""
    arming = found.result.get("arming")
    spec = standing.step.evidence
    if arming is None or not isinstance(spec, Others) or spec.switch not in others:
        return {}
    rest = found.result["others"]
    near = tuple((o["does"], Decimal(o["low"]), Decimal(o["high"])) for o in rest
                 if o["channel"] == arming["channel"])  # fmt: skip
    read = _read_switch(whole_answer(others[spec.switch]) or {})
    clashes = found.result["clashes"]
    return {
        "drawing": _switch_drawn(read, _span(arming), near),
        "heads": ("Comes on", "Channel", "Range", "With arming"),
        "rows": tuple(_other_row(o, o["does"] in clashes) for o in (arming, *rest)),
    }


def _other_row(other: Mapping[str, str], clash: bool) -> tuple[str, ...]:
    channel = other["channel"].removeprefix("channel ")
    return (other["does"], channel, tie(f"{other['low']} to {other['high']} µs"),
            "yes" if clash else "no" if other["does"] != ARMING else "")  # fmt: skip


_DRAWN = {
    "value": _value,
    "spins": _spins,
    "faces": _faces,
    "sticks": _sticks,
    "channels": _channels,
    "switch": _switch,
    "others": _others,
}
