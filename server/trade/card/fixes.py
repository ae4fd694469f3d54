"""Corrections that are worked out when measured values are out of limits."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from server.trade.battery import voltage_scale as scale
from server.trade.card.text import places, plain
from server.trade.solving import NoAnswer


@dataclass(frozen=True, slots=True)
class Fix:
    """What to change, in words and as plain values."""

    do: str
    result: Mapping[str, Any]


def voltage_scale(read: Mapping[str, Decimal]) -> Fix:
    """The factor for the scale of the craft's voltage reading, from 'meter' and 'shown'.

    Where the two are so far apart that no scale can be meant, what to look at in its place.
    """
    try:
        factor = scale(Decimal(1), read["meter"], read["shown"])
    except NoAnswer as no:
        return Fix(f"{no.says} See that the craft measures the battery at all.", {})
    do = f"Multiply the scale of the voltage reading by {places(factor, 4)}, save, read both again."
    return Fix(do, {"scale_factor": plain(factor)})


FIXES: dict[str, Callable[[Mapping[str, Decimal]], Fix]] = {"voltage-scale": voltage_scale}
