"""Corrections that are worked out when measured values are out of limits."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from server.trade.card.text import places


@dataclass(frozen=True, slots=True)
class Fix:
    """What to change, in words and as plain values."""

    do: str
    result: Mapping[str, Any]


def voltage_scale(read: Mapping[str, Decimal]) -> Fix:
    """The factor for the scale of the craft's voltage reading.

    New scale = old scale · measured / shown: a voltage divider is linear (Horowitz and Hill, The
    Art of Electronics, ch. 1, from memory).
    """
    if read["shown"] <= 0 or read["meter"] <= 0:
        return Fix("See that the board measures the battery at all: look at its setting.", {})
    factor = read["meter"] / read["shown"]
    return Fix(
        f"Multiply the scale of the voltage reading by {places(factor, 4)}, save, read both again.",
        {"scale_factor": places(factor, 5)},
    )


FIXES: dict[str, Callable[[Mapping[str, Decimal]], Fix]] = {"voltage-scale": voltage_scale}
