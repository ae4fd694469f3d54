"""Notes on what is hardly ever right: each can be told to be so, and is then quiet."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from functools import partial

from server.trade.exact import plain, times
from server.trade.rules.advice import Advice
from server.trade.rules.registry import Hit, rule
from server.trade.tables.chips import most_ports
from server.trade.tables.kinds import KINDS, likely_kind
from server.trade.wiring.feeding import pack_volts
from server.trade.wiring.wiring import Wiring

FASTEST_TIP = 400  # m/s
PI = Decimal("3.14159265358979323846264338327950288419716939937510")
METRES_AN_INCH = Decimal("0.0254")
MOTORS = "motors"


@rule("ports-beyond-chip", "note", holds_for="board")
def ports_beyond_chip(wiring: Wiring) -> Iterator[Hit]:
    """More hardware ports than the chip has serial blocks."""
    board = wiring.sheet.board
    row = most_ports(board.mcu)
    count = sum(not port.software for port in board.ports)
    if row is not None and count > row.uarts:
        yield Hit(
            "board",
            f"The sheet lists {count} ports, and the {board.mcu} has {row.uarts}.",
            "Look at the board's print again: mark the software ports as such, and leave out what"
            " is not there.",
            source=row.source,
        )


@rule("kind-unknown", "note", holds_for="craft")
def kind_unknown(wiring: Wiring) -> Iterator[Hit]:
    """A kind of device that is not in the table: what the card asks of it is left out."""
    for part in wiring.sheet.devices:
        if part.kind not in KINDS:
            says = f"{part.kind} is no kind of device that the rules know."
            yield Hit(part.device, says, partial(_likely, part.kind))


def _likely(kind: str, _: Advice) -> str:
    likely = likely_kind(kind)
    if likely is None:
        return f"Write one of {', '.join(list(KINDS)[:-1])}, or other for any other part."
    return f"If {likely} is meant, write {likely}."


@rule("poles-odd", "note", holds_for="craft")
def poles_odd(wiring: Wiring) -> Iterator[Hit]:
    """An odd number of magnet poles."""
    poles = wiring.sheet.motors.poles
    if poles is not None and poles % 2:
        says = f"{poles} magnet poles: magnets come in pairs of a north and a south pole."
        yield Hit(MOTORS, says, "Count the magnets again.")


@rule("tip-speed-unlikely", "note", holds_for="craft")
def tip_speed_unlikely(wiring: Wiring) -> Iterator[Hit]:
    """Propeller tips that would pass 400 m/s without load."""
    kv, size = wiring.sheet.motors.kv, wiring.sheet.craft.size_in
    if kv is None or size is None:
        return
    volts = pack_volts(wiring)[1]
    by_minute = times(times(times(PI, size), METRES_AN_INCH), times(kv, volts))
    if by_minute > 60 * FASTEST_TIP:
        speed = round(Fraction(by_minute) / 60)
        yield Hit(
            MOTORS,
            f"{plain(size)} inch at {plain(kv)} KV and {plain(volts)} V would bring the tips to"
            f" {speed} m/s without load.",
            "Look again at the motors' KV, the cells and the propellers' size: one of them is"
            " wrong.",
        )
