"""A board's rails, ports and pads as lines of text, one part a line, its words parted by commas."""

import re
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from server.trade.sheet.parts import KEY_OF_SIGNAL, SIGNALS
from server.web.site.forms import number

RAIL = "5V, 5.0 V, 2.0 A"
PORT = "UART6, taken by wireless chip"
PAD = "R1, rx, UART1"
_THIRD = {signal: key for key, signals in KEY_OF_SIGNAL.items() for signal in signals}
_UNIT = re.compile(r"\s*(V|A|baud)$")


class BadLine(ValueError):
    """A line that cannot be read, by its number from 1."""

    def __init__(self, line: int, says: str) -> None:
        super().__init__(f"Line {line}: {says}")


def rails(text: str) -> list[dict[str, Any]]:
    """'5V, 5.0 V, 2.0 A' each. Raises BadLine."""
    return _read(text, _rail)


def ports(text: str) -> list[dict[str, Any]]:
    """'UART1', with ', taken by …', ', software' or ', at most … baud' after it. Raises BadLine."""
    return _read(text, _port)


def pads(text: str) -> list[dict[str, Any]]:
    """'R1, rx, UART1', with ', inverter', ', at most … V' or ', timer …' after it. Raises BadLine.

    The third word is the port of rx and tx, the rail of power, the number of a motor output.
    """
    return _read(text, _pad)


def line_of(text: str, place: int) -> int:
    """The line, from 1, that the part at `place` was read from: empty lines are passed over."""
    told = [n for n, line in enumerate(text.splitlines(), 1) if line.strip()]
    return told[place] if place < len(told) else len(told)


def _read(text: str, read: Callable[[list[str]], dict[str, Any]]) -> list[dict[str, Any]]:
    found = []
    for n, line in enumerate(text.splitlines(), 1):
        if line.strip():
            try:
                found.append(read([word.strip() for word in line.split(",")]))
            except ValueError as wrong:
                raise BadLine(n, str(wrong)) from None
    return found


def _rail(words: list[str]) -> dict[str, Any]:
    if len(words) != 3:
        raise ValueError(f"write the rail, its volts and its amperes, such as “{RAIL}”.")
    return {"rail": words[0], "volts": _number(words[1]), "amps": _number(words[2])}


def _port(words: list[str]) -> dict[str, Any]:
    told: dict[str, Any] = {"port": words[0]}
    for word in words[1:]:
        if word.startswith("taken by "):
            told["taken_by"] = word.removeprefix("taken by ").strip()
        elif word == "software":
            told["software"] = True
        elif word.startswith("at most "):
            told["max_baud"] = _number(word.removeprefix("at most "))
        else:
            raise ValueError(f"“{word}” is not known after a port; such as “{PORT}”.")
    return told


def _pad(words: list[str]) -> dict[str, Any]:
    if len(words) < 2 or words[1] not in SIGNALS:
        raise ValueError(f"write the pad, then one of {', '.join(SIGNALS)}; such as “{PAD}”.")
    told: dict[str, Any] = {"pad": words[0], "signal": words[1]}
    rest = words[2:]
    if key := _THIRD.get(words[1]):
        if not rest:
            raise ValueError(f"a {words[1]} pad needs its {key} as the third word.")
        third = rest.pop(0)
        told[key] = _number(third) if key == "output" else third
    for word in rest:
        told |= _extra(word)
    return told


def _extra(word: str) -> dict[str, Any]:
    if word == "inverter":
        return {"inverter": True}
    if word.startswith("timer "):
        return {"timer": word.removeprefix("timer ").strip()}
    if word.startswith("at most "):
        return {"max_v": _number(word.removeprefix("at most "))}
    raise ValueError(f"“{word}” is not known after a pad: inverter, timer TIM3, at most 3.3 V.")


def _number(word: str) -> Any:
    return Decimal(str(number(_UNIT.sub("", word))))
