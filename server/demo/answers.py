"""What a bench shows when all is well, for every kind of evidence that a step takes."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

from server.trade.card import Step
from server.trade.card.evidence import Field

Answer = dict[str, Any]

# Our own example of an output order; no firmware numbers its outputs so.
ORDER = {"1": "FL", "2": "RR", "3": "RL", "4": "FR"}
PROPS_IN = {"FL": "cw", "FR": "ccw", "RL": "ccw", "RR": "cw"}
TURNED = {"cw": "ccw", "ccw": "cw"}


def good_answers(step: Step) -> list[Answer]:
    """One answer, or one a motor, stick or channel, that passes this step."""
    return _MAKERS[step.evidence.kind](step)


def _value(step: Step) -> list[Answer]:
    spared = [o.value for o in step.evidence.instead if o.passes]  # type: ignore[attr-defined]
    if spared:
        return [{"instead": spared[0]}]
    values: dict[str, Decimal] = {}
    fields = step.evidence.fields  # type: ignore[attr-defined]  # a Value spec has fields
    for field in (field for field in fields if not field.optional):
        near = field.near and values.get(field.near.field)
        values[field.name] = near if near is not None else _middle(field)
    return [{"values": {name: format(value.normalize(), "f") for name, value in values.items()}}]


def _middle(field: Field) -> Decimal:
    if field.low is None or field.high is None:
        return field.low or field.high or Decimal(1500)
    return round((field.low + field.high) / 2, 2)


def _cells(step: Step) -> list[Answer]:
    cells = step.evidence.wanted  # type: ignore[attr-defined]
    return [{"cells": str(cells), "volts": format(cells * Decimal("3.85"), "f")}]


def _choice(step: Step) -> list[Answer]:
    passing = (o.value for o in step.evidence.options if o.passes)  # type: ignore[attr-defined]
    return [{"choice": next(passing)}]


def _spins(step: Step) -> list[Answer]:
    turns = _turns(step.evidence.props)  # type: ignore[attr-defined]
    return [
        {"output": int(n), "seen": "turned", "corner": corner, "turn": turns[corner]}
        for n, corner in ORDER.items()
    ]


def _turns(props: str) -> Mapping[str, str]:
    if props == "props-in":
        return PROPS_IN
    return {corner: TURNED[turn] for corner, turn in PROPS_IN.items()}


def _channels(step: Step) -> list[Answer]:
    names = step.evidence.channels  # type: ignore[attr-defined]
    return [{"channel": n, "low": "1000", "centre": "1500", "high": "2000"} for n in names]


def _named(step: Step) -> tuple[str, ...]:
    names: tuple[str, ...] = step.evidence.channels  # type: ignore[attr-defined]
    return names


def _sticks(step: Step) -> list[Answer]:
    names = step.evidence.sticks  # type: ignore[attr-defined]
    return [{"stick": n, "moved": n, "way": "rose"} for n in names]


_MAKERS: dict[str, Callable[[Step], list[Answer]]] = {
    "tick": lambda step: [{"done": True}],
    "value": _value,
    "choice": _choice,
    "cells": _cells,
    "order": lambda step: [{"table": dict(ORDER)}],
    "spins": _spins,
    "faces": lambda step: [{"level": "bottom", "nose-down": "nose", "right-down": "right"}],
    "sticks": _sticks,
    "channels": _channels,
    "rest": lambda step: [
        {"channels": [{"channel": n, "low": "1498", "high": "1501"} for n in _named(step)]}
    ],
    "loss": lambda step: [
        {"report": "in-time", "channels": dict.fromkeys(_named(step), "nothing")}
    ],
    "switch": lambda step: [{"rest": "1000", "armed": "2000", "radio_off": "988"}],
    "others": lambda step: [
        {
            "channel": "5",
            "others": [{"does": "beeper", "channel": "6", "low": "1700", "high": "2200"}],
        }
    ],
    "file": lambda step: [{"none": "The settings were erased; there is nothing to save."}],
}
