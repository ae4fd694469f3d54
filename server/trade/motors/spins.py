"""From what each output drove to what is to be exchanged and reversed, and the verdict."""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from server.trade.finding import Finding
from server.trade.motors.corners import CORNERS, OTHER_PLAN, PLANS, TURNS
from server.trade.motors.spin_findings import spin_findings
from server.trade.motors.takeoff import Spin, Verdict, verdict
from server.trade.solving import NoAnswer

OUTPUTS = range(1, 9)


@dataclass(frozen=True, slots=True)
class Spun:
    """What four outputs were found to do, and what to do about it.

    `table` is the corner by output, None where a silent one's is not known; `exchange[n] = m`: what
    output n drives belongs on output m. `other_plan`: all four turned, each as the other plan of
    propellers wants it, so that the first question is for which plan the craft is built.
    """

    table: dict[int, str | None]
    exchange: dict[int, int]
    reverse: tuple[int, ...]
    other_plan: bool
    dead: tuple[int, ...]
    doubled: tuple[int, ...]
    verdict: Verdict
    findings: tuple[Finding, ...]

    def as_json(self) -> dict[str, Any]:
        """The answer as the command line prints it."""
        return {
            "table": {str(output): corner for output, corner in self.table.items()},
            "exchange": {str(output): to for output, to in self.exchange.items()},
            "reverse": list(self.reverse),
            "other_plan": self.other_plan,
            "dead": list(self.dead),
            "doubled": list(self.doubled),
            "verdict": self.verdict.as_json(),
            "findings": [finding.as_json() for finding in self.findings],
        }


def solve(spins: Sequence[Spin], props: str, expect: Mapping[int, str] | None = None) -> Spun:
    """What four outputs were found to do against the plan `props` and the order `expect`.

    `expect` is the corner that the firmware in use takes each output to drive; without it the order
    is not judged. Raises NoAnswer for outputs, corners, turns or plans that are none, and for other
    than four outputs.
    """
    found = _checked(spins, props)
    if expect is not None:
        _order_is_whole(expect)
    table = {spin.output: spin.corner for spin in found}
    dead = tuple(spin.output for spin in found if spin.turn is None)
    doubled = _doubled(found)
    exchange = _exchange(table, expect or {})
    reverse = tuple(s.output for s in found if s.turn and s.turn != PLANS[props][str(s.corner)])
    whole = not dead and not doubled
    judged = verdict(found, expect or _as_found(found), props, whole)
    if expect is None and judged.ok:
        judged = replace(judged, ok=None, says=_order_open(props))
    other_plan = OTHER_PLAN[props] if len(reverse) == len(found) else None
    findings = spin_findings(table, exchange, reverse, dead, doubled, other_plan)
    return Spun(table, exchange, reverse, other_plan is not None, dead, doubled, judged, findings)


def _order_open(props: str) -> str:
    return (
        f"Every motor turns as {props} wants it. The order is not judged: that needs the order "
        "that this craft's firmware expects."
    )


def _checked(spins: Sequence[Spin], props: str) -> list[Spin]:
    if props not in PLANS:
        raise NoAnswer("props", f"'{props}' is no plan; it is one of {', '.join(PLANS)}.")
    _four_different("outputs", [spin.output for spin in spins])
    for spin in spins:
        _words("outputs", spin.corner, spin.turn)
    return sorted(spins, key=lambda spin: spin.output)


def _four_different(at: str, outputs: Sequence[int]) -> None:
    for output, times in Counter(outputs).items():
        if output not in OUTPUTS:
            raise NoAnswer(at, f"Output {output} is not one of 1 to 8.")
        if times > 1:
            raise NoAnswer(at, f"Output {output} is named {times} times.")
    if len(outputs) != 4:
        raise NoAnswer(at, f"{len(outputs)} outputs are named; a quad has four.")


def _words(at: str, corner: str | None, turn: str | None) -> None:
    if corner is not None and corner not in CORNERS:
        raise NoAnswer(at, f"'{corner}' is no corner; it is one of {', '.join(CORNERS)}.")
    if turn is not None and turn not in TURNS:
        raise NoAnswer(at, f"'{turn}' is no direction; it is cw, ccw or none.")
    if turn is not None and corner is None:
        raise NoAnswer(at, "A motor that turned has a corner.")


def _order_is_whole(expect: Mapping[int, str]) -> None:
    _four_different("expect", list(expect))
    for corner in expect.values():
        _words("expect", corner, None)
    if set(expect.values()) != set(CORNERS):
        raise NoAnswer("expect", "An order names each of the four corners once.")


def _doubled(found: Sequence[Spin]) -> tuple[int, ...]:
    """Outputs that moved a corner which another moved too; a silent one moved none."""
    moved = Counter(spin.corner for spin in found if spin.turn)
    return tuple(spin.output for spin in found if spin.turn and moved[spin.corner] > 1)


def _exchange(table: Mapping[int, str | None], expect: Mapping[int, str]) -> dict[int, int]:
    # Where two outputs have one corner neither is moved: which of them drives it is not known.
    wanted = {corner: output for output, corner in expect.items()}
    held = Counter(table.values())
    return {
        output: wanted[corner]
        for output, corner in table.items()
        if corner in wanted and wanted[corner] != output and held[corner] == 1
    }


def _as_found(found: Sequence[Spin]) -> dict[int, str]:
    """The order as found, as if it were the right one; whoever has no corner gets one left over.

    Which of several gets which makes no difference to the loop: what they do is alike.
    """
    order: dict[int, str] = {}
    for spin in found:
        if spin.corner and spin.corner not in order.values():
            order[spin.output] = spin.corner
    spare = iter(corner for corner in CORNERS if corner not in order.values())
    return {spin.output: order.get(spin.output) or next(spare) for spin in found}


def read_outputs(text: str) -> tuple[Spin, ...]:
    """Spins from '1=FL:cw,2=RL:ccw,3=none,4=FR:none'. Raises NoAnswer for another shape."""
    return tuple(_read_spin(entry) for entry in text.split(","))


def _read_spin(entry: str) -> Spin:
    shape = re.fullmatch(r"([1-8])=(?:none|(\w+):(\w+))", entry.strip(), re.ASCII)
    if not shape:
        raise NoAnswer(
            "outputs", f"'{entry.strip()}' is not as '1=FL:cw', '3=none' or '3=RL:none'."
        )
    output, corner, turn = shape.groups()
    return Spin(int(output), corner, None if turn == "none" else turn)


def read_order(text: str) -> dict[int, str]:
    """An order of outputs from '1=FL,2=RR,3=RL,4=FR'. Raises NoAnswer for another shape."""
    order: dict[int, str] = {}
    for entry in text.split(","):
        shape = re.fullmatch(r"([1-8])=(\w+)", entry.strip(), re.ASCII)
        if not shape:
            raise NoAnswer("expect", f"'{entry.strip()}' is not as '1=FL'.")
        if int(shape[1]) in order:
            raise NoAnswer("expect", f"Output {shape[1]} is named twice.")
        order[int(shape[1])] = shape[2]
    return order
