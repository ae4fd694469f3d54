"""Corrections that are worked out when measured values are out of limits."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from server.trade.battery import readings as battery
from server.trade.card.text import places, plain
from server.trade.solving import NoAnswer

ONE = Decimal(1)
Scale = Callable[[Decimal, Decimal, Decimal], Decimal]


@dataclass(frozen=True, slots=True)
class Fix:
    """What to change, in words and as plain values."""

    do: str
    result: Mapping[str, Any]


def voltage_scale(read: Mapping[str, Decimal]) -> Fix:
    """The scale of the craft's voltage reading from 'meter', 'shown' and, if known, 'scale'.

    Where the two are so far apart that no scale can be meant, what to look at in its place.
    """
    fix = _scaled(battery.voltage_scale, read, ("meter", "shown"), "voltage")
    if fix is None:
        return Fix(_no(battery.voltage_scale, read, ("meter", "shown")), {})
    return Fix(f"{fix.do}, save, read both again.", fix.result)


def current_scale(read: Mapping[str, Decimal]) -> Fix:
    """The same for the current, from 'charger' and 'craft' in mAh over one flight."""
    fix = _scaled(battery.current_scale, read, ("charger", "craft"), "current")
    if fix is None:
        return Fix(_no(battery.current_scale, read, ("charger", "craft")), {})
    other = places(ONE / Decimal(fix.result["scale_factor"]), 4)
    return Fix(
        f"{fix.do}, save, and count another flight. Where the program gives mV for each A, the "
        f"scale is the other way round: multiply by {other}.",
        fix.result,
    )


def _scaled(
    scale: Scale, read: Mapping[str, Decimal], pair: tuple[str, str], what: str
) -> Fix | None:
    true, shown = (read[name] for name in pair)
    try:
        factor = scale(ONE, true, shown)
        new = scale(read["scale"], true, shown) if "scale" in read else None
    except NoAnswer:
        return None
    do = f"Multiply the scale of the {what} reading by {places(factor, 4)}"
    result = {"scale_factor": plain(factor)}
    if new is not None:
        do += f": from {plain(read['scale'])} to {places(new, 2)}"
        result["new_scale"] = plain(new)
    return Fix(do, result)


def _no(scale: Scale, read: Mapping[str, Decimal], pair: tuple[str, str]) -> str:
    try:
        scale(ONE, *(read[name] for name in pair))
    except NoAnswer as no:
        return f"{no.says} See that the craft measures the battery at all."
    return "The scale that is set now has to be above zero."


FIXES: dict[str, Callable[[Mapping[str, Decimal]], Fix]] = {
    "voltage-scale": voltage_scale,
    "current-scale": current_scale,
}
