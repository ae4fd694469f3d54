"""What was found at a step, drawn and in words: shown after the answer, never before it."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Any

from server.drawing.cell_zones import cell_zones
from server.drawing.limits import limits_line
from server.drawing.port_diagram.mini_map import mini_map
from server.trade.battery.readings import MOST_CELLS, zone
from server.trade.card import BadAnswer, Judgement, judge
from server.trade.card.evidence import Cells, Field, Spins, Value
from server.trade.card.text import plain, tie
from server.web.bench.kinds import radio_drawn as radio
from server.web.bench.kinds.answer import whole_answer
from server.web.bench.kinds.causes import Causes, causes_of
from server.web.bench.kinds.motors import Loop, speeds_shown, spins_shown
from server.web.bench.kinds.mounting import mounting_shown
from server.work.bench.step_status import Standing
from server.work.port_map.facts import facts_of


@dataclass(frozen=True)
class Result:
    """The judgement of what stands at a step.

    `picture` is of the verdict, `lies` says it in words, `drawing` is of what was found; `steps` is
    what to do in order, and `again` the outputs to spin again.
    """

    state: str
    says: str
    do: str
    verdict: str = ""
    lies: str = ""
    picture: str = ""
    drawing: str = ""
    heads: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    points: tuple[str, ...] = ()
    causes: tuple[Causes, ...] = ()
    loop: Loop | None = None
    again: tuple[int, ...] = ()
    steps: tuple[str, ...] = ()


@lru_cache(maxsize=256)
def small_map(sheet_json: str) -> str:
    """The small map of a saved sheet, which never changes."""
    return mini_map(facts_of(sheet_json).sheet, "mini")


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


def _value(standing: Standing, found: Judgement, others: Mapping[str, Standing]) -> dict[str, Any]:
    if "scores" in found.result:
        return speeds_shown(_taps(others, standing.step.after), found.result)
    return {"drawing": reading_drawn(standing, "result"), "causes": causes_of(found.result)}


def _taps(others: Mapping[str, Standing], keys: tuple[str, ...]) -> dict[int, dict[str, Any]]:
    """The spins of the first of these steps that has any, by output."""
    spun = (others[k] for k in keys if k in others and others[k].step.evidence.kind == "spins")
    answers = (whole_answer(standing) for standing in spun)
    return next(
        ({int(t["output"]): t for t in answer["spins"]} for answer in answers if answer), {}
    )


def _cells(standing: Standing, found: Judgement, _others: object) -> dict[str, Any]:
    """The counts about the one that was counted, and which of them the volts may be."""
    spec = standing.step.evidence
    if not isinstance(spec, Cells):
        return {}
    counted, volts = int(found.result["cells"]), Decimal(found.result["volts"])
    possible = found.result["possible"]
    near = sorted({*possible, *range(max(1, counted - 2), min(MOST_CELLS, counted + 2) + 1)})
    zones = [(cells, *zone(cells, spec.chemistry)) for cells in near]
    return {
        "drawing": cell_zones(zones, volts, counted, "result"),
        "heads": ("Cells", "Flat to full", f"{plain(volts)} V"),
        "rows": tuple(
            (
                f"{cells}S",
                tie(f"{plain(flat)} to {plain(full)} V"),
                "may be" if cells in possible else "cannot be",
            )
            for cells, flat, full in zones
        ),
    }


def _spins(standing: Standing, found: Judgement, others: Mapping[str, Standing]) -> dict[str, Any]:
    spec = standing.step.evidence
    if found.state == "more" or not found.result or not isinstance(spec, Spins):
        return {}
    taps = {int(t["output"]): t for t in (whole_answer(standing) or {})["spins"]}
    order = (whole_answer(others[spec.order]) or {}) if spec.order in others else {}
    expects = {int(n): corner for n, corner in order.get("table", {}).items()}
    return spins_shown(spec, taps, expects, found.result)


def _faces(_standing: Standing, found: Judgement, _others: object) -> dict[str, Any]:
    return mounting_shown(found)


_DRAWN = {
    "value": _value,
    "cells": _cells,
    "spins": _spins,
    "faces": _faces,
    "sticks": radio.sticks,
    "channels": radio.channels,
    "rest": radio.rest,
    "loss": radio.loss,
    "switch": radio.switch,
    "others": radio.others,
}
